/**
 * Where a plan keeps its numbers in the memory of the kernels, in bytes from the start of the plan.
 * Read by TypeScript and by AssemblyScript, so that the two sides cannot drift apart. Every word is a 32-bit integer:
 * a count or the address of an array. Sources and targets stand in tree order, the ranges of every leaf padded to a
 * multiple of 4 (padding sources have no charge, the sums of padding targets are ignored).
 */

/** Number of coefficients of an expansion, (p + 1)^2, and the same rounded up to a multiple of 4. */
export const TERMS = 0;
export const STRIDE = 4;
/** Expansion order p. */
export const ORDER = 8;
/** f32 [MAX_ORDER + 2][MAX_ORDER + 2][2]: recurrence factors at (m, l). */
export const RECURRENCE = 12;
/** Derivatives of the regular functions: (i32 of, i32 from, f32 factor), those along x, then y, then z. */
export const FALLING = 16;
/** i32 [4]: entry where x, y, z start, and the end. */
export const FALLING_START = 20;
/** The same for the irregular functions, whose derivatives have one degree more. */
export const RISING = 24;
export const RISING_START = 28;
/** f32 [56][STRIDE / 4][TERMS][4]: multipole to local, per offset with non-negative components. */
export const TRANSFER = 32;
/** f32 [8][STRIDE]: signs of the coefficients under mirroring in x (bit 0), y (bit 1), z (bit 2). */
export const SIGNS = 36;
/** f32 [8][TERMS][STRIDE]: child to parent by octant of the child, row = coefficient of the child. */
export const LIFT = 40;
/** f32 [8][TERMS][STRIDE]: parent to child, row = coefficient of the parent. */
export const DROP = 188;

/** f64 [3][S]: x, y, z of the sources [m]. */
export const SOURCES = 44;
/** S, a multiple of 4. */
export const SOURCE_COUNT = 48;
/** i32 [S]: number of the point each source comes from, -1 for padding. */
export const SOURCE_POINT = 52;
/** f32 [3][S]: unit normal, mirrored for an image. */
export const SOURCE_NORMAL = 56;
/** f32 [4][S]: charge and dipole vector, scaled; written by `gather`. */
export const MOMENT = 60;
/** f64 [N] each: what the caller sets. */
export const CHARGE = 64;
export const DIPOLE = 68;
/** f64 [1]: factor applied to charges and dipoles. */
export const SCALE = 72;
/** f64 [3][T]: x, y, z of the targets [m]. */
export const TARGETS = 76;
export const TARGET_COUNT = 80;
/** f64 [1 or 4][T]: sums in tree order; potential, then the gradient. */
export const SUM = 84;

/** f64 [B][4]: centre and side of each box [m]. */
export const BOX = 88;
/** i32 [B] each: ranges of sources. */
export const SOURCE_START = 92;
export const SOURCE_END = 96;
/** i32 [B] each: parent, octant within the parent, first child and number of children. */
export const PARENT = 100;
export const OCTANT = 104;
export const CHILD = 108;
export const CHILDREN = 112;
/** f32 [B][STRIDE] each: expansions about the centre, lengths in units of the side. */
export const MULTIPOLE = 116;
export const LOCAL = 120;

/** i32: boxes whose sources make their multipole. */
export const SPREAD_LIST = 124;
/** i32: boxes whose children make their multipole, deepest level first. */
export const LIFT_LIST = 128;
/** i32: boxes that take over the local expansion of their parent, shallowest level first. */
export const LOWER_LIST = 132;
/** i32 [.][BATCH_WORDS]: offset number, count, then (source box, target box, mirror bits) of up to 8 pairs. */
export const BATCH = 136;
/** i32 [tasks + 1]: first batch of each task; a target box is in one task only. */
export const BATCH_RUN = 140;
/** i32: target boxes that take sources straight into their local expansion; runs into the list of source leaves. */
export const INTO_LIST = 144;
export const INTO_RUN = 148;
export const INTO = 152;
/** i32: leaves with targets. */
export const LEAF_LIST = 156;
/** i32 [leaves + 1]: first group of each leaf; i32 [groups + 1]: first target of each group. */
export const LEAF_GROUP = 160;
export const GROUP_START = 164;
/** i32 [leaves + 1], then pairs (start, end): sources summed directly. */
export const NEAR_RUN = 168;
export const NEAR = 172;
/** i32 [leaves + 1], then boxes: multipoles evaluated at the targets. */
export const FAR_RUN = 176;
export const FAR = 180;
/** i32 [leaves]: 1 where the local expansion counts. */
export const LEAF_LOCAL = 184;

export const PLAN_BYTES = 256;
export const BATCH_WORDS = 26;
/** Sources copied at a time for direct summation. */
export const TILE = 512;
export const MAX_ORDER = 14;
/** Of each thread; near-pieces.as.ts needs the most. */
export const SCRATCH_BYTES = 917504;
