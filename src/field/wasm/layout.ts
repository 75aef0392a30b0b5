/**
 * Where a plan keeps its numbers in the memory of the kernels, in bytes from the start of the plan.
 * Read by TypeScript and by AssemblyScript, so that both sides cannot drift apart. Every word is a 32-bit integer:
 * a count, or the address of an array.
 */

/** Number of coefficients of an expansion, (p + 1)^2, and the same rounded up to a multiple of 4. */
export const TERMS = 0;
export const STRIDE = 4;
/** Expansion order p. */
export const ORDER = 8;
/** f32 [splat] recurrence constants, two per (m, l) pair in the order the recurrence visits them. */
export const RECURRENCE = 12;
/** Derivative of a regular expansion: triples (i32 to, i32 from, f32 factor) for x, then y, then z. */
export const DERIVATIVE = 16;
/** i32 [4]: where x, y, z start in DERIVATIVE, and its end (entry numbers). */
export const DERIVATIVE_START = 20;
/** The same pair for the raising derivative of the irregular functions, order p from order p + 1. */
export const RAISING = 24;
export const RAISING_START = 28;
/** f32 [56][STRIDE / 4][TERMS][4]: multipole to local, per offset with non-negative components. */
export const TRANSFER = 32;
/** f32 [8][STRIDE]: signs of the coefficients under mirroring in x (bit 0), y (bit 1), z (bit 2). */
export const SIGNS = 36;
/** f32 [8][TERMS][TERMS]: child to parent per octant of the child, row = parent. */
export const LIFT = 40;

/** f64 [S][3]: sources in tree order [m]. */
export const SOURCE_POSITION = 44;
/** i32 [S]: number of the point each source comes from. */
export const SOURCE_POINT = 48;
/** f32 [S][4]: unit normal, mirrored for an image; last number unused. */
export const SOURCE_NORMAL = 52;
/** f32 [S][4]: charge, then dipole vector, scaled; written by `gather`. */
export const MOMENT = 56;
/** f64 [N]: what the caller sets. */
export const CHARGE = 60;
export const DIPOLE = 64;
/** f64 [1]: factor applied to charges and dipoles. */
export const SCALE = 68;
/** f64 [T][3]: targets in tree order [m]. */
export const TARGET_POSITION = 72;
/** f64 [T] or [T][4]: sums in tree order; potential, then gradient. */
export const SUM = 76;

/** f64 [B][4]: centre and side of each box [m]. */
export const BOX = 80;
/** i32 [B] each: ranges of sources and of targets. */
export const SOURCE_START = 84;
export const SOURCE_END = 88;
export const TARGET_START = 92;
export const TARGET_END = 96;
/** i32 [B]: parent, -1 for the root; octant within the parent; first child (0 = leaf) and number of children. */
export const PARENT = 100;
export const OCTANT = 104;
export const CHILD = 108;
export const CHILDREN = 112;
/** f32 [B][STRIDE] each. */
export const MULTIPOLE = 116;
export const LOCAL = 120;

/** i32: boxes that turn sources into multipoles. */
export const SOURCE_LEAVES = 124;
/** i32: boxes with children and sources, by level, deepest first. */
export const LIFTS = 128;
/** i32: boxes with targets and a parent that has a local expansion, by level, shallowest first. */
export const LOWERS = 132;
/** i32 [.][26]: offset number, count, then (source box, target box, mirror bits) of up to 8 pairs. */
export const BATCH = 136;
/** i32 [chunks + 1]: first batch of each chunk of target boxes. */
export const CHUNK = 140;
/** i32 pairs (target box, source box): sources go straight into the local expansion. */
export const DIRECT_LOCAL = 144;
/** i32: target box of each run of DIRECT_LOCAL, as run starts [runs + 1]. */
export const DIRECT_LOCAL_RUN = 148;
/** i32: leaves with targets. */
export const TARGET_LEAVES = 152;
/** i32 [leaves + 1]: first group of targets of each leaf; i32 [groups + 1]: first target of each group. */
export const LEAF_GROUP = 156;
export const GROUP_START = 160;
/** i32 [leaves + 1] and pairs (start, end): sources summed directly. */
export const NEAR_RUN = 164;
export const NEAR = 168;
/** i32 [leaves + 1] and boxes: multipoles evaluated at the targets. */
export const FAR_RUN = 172;
export const FAR = 176;
/** 1 when the local expansion of the leaf (or any above) can be nonzero: i32 [leaves]. */
export const HAS_LOCAL = 180;

/** Bytes of a plan's words. */
export const PLAN_BYTES = 192;
/** Integers per batch: offset number, count, eight triples. */
export const BATCH_WORDS = 26;
/** Sources copied at a time for direct summation. */
export const TILE = 512;
/** Highest expansion order. */
export const MAX_ORDER = 14;
/** Scratch bytes a thread: the larger of a tile and the expansions of four points with their sums. */
export const SCRATCH_BYTES = 65536;
