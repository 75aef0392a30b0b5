/**
 * Where the near corrections keep their numbers in the memory of the kernels, in bytes from the start of the block or
 * plan named. Read by TypeScript and by AssemblyScript. Every word is a 32-bit integer: a count or an address.
 */

/** Integrating: panels of one body seen from the nodes of one body. f64 [P][18]: c0..c5 of each panel. */
export const COEF = 0;
/** i32 [P]: nodes a panel; i32 [P + 1]: first node of each panel, counted within its body. */
export const COUNT = 4;
export const NODE_START = 8;
/** i32 [P]: bit 0 plane, bit 1 open sheet, bit 2 the area vector points into the liquid. */
export const KIND = 12;
/** f64 of the nodes of the source body: [.][3] position, [.][3] normal, [.] weight. */
export const SOURCE_POSITION = 16;
export const SOURCE_NORMAL = 20;
export const SOURCE_WEIGHT = 24;
/** f64 [.][3]: the observers; 1 where they are of the same body as the panels. */
export const OBSERVER_POSITION = 28;
export const SAME_BODY = 32;
/** f64 [1]: height of the mirror plane. */
export const MIRROR = 36;
/** i32 [P + 1]: entries of each panel; of each entry: i32 observer, u8 how it is near, i32 where its values go [floats]. */
export const ENTRY_START = 40;
export const ENTRY_OBSERVER = 44;
export const ENTRY_HOW = 48;
export const ENTRY_SLOT = 52;
/** f32: the values. */
export const VALUE = 56;
/** f32 [3][3][4]: u, v and weight of the rule on a piece, four points at a time. */
export const PIECE_RULE = 60;
/** f64 [3][36]: monomial coefficients of the polynomials of 1, 3, 6 nodes, six a node; [3][6][2]: their nodes (s, t). */
export const BASIS = 64;
export const NODE_ST = 68;
/** f64 [.][2]: point and weight along a ray and across the angle, for a node of the panel itself. */
export const ALONG = 72;
export const ACROSS = 76;
export const ALONG_POINTS = 5;
export const ACROSS_POINTS = 10;
export const BLOCK_WORDS = 32;

/** Applying: f64 [N] what comes out, zeroed by the caller. */
export const OUT = 0;
/** i32 [.][TASK_WORDS]: first node (in the list of all), observers [from, to) of its body, stretch [first, last) of ROWS. */
export const TASKS = 4;
export const TASK_WORDS = 5;
/** i32 [.][ROW_WORDS]: blocks of rows, those of one observing body together. */
export const ROWS = 8;
export const APPLY_WORDS = 16;

/** Within a block of rows: i32 [observers + 1] first entry, i32 [entries] panel within its body, f32 values. */
export const ROW_START = 0;
export const ROW_PANEL = 4;
/** i32 [observers + 1]: first value of each row [floats]. */
export const ROW_VALUE_START = 8;
export const ROW_VALUE = 12;
/** Densities of the source body: f32, PANEL_FLOATS a panel by its nodes, and i32 [P] where each panel's begin [bytes]. */
export const ROW_DENSITY = 16;
export const ROW_DENSITY_AT = 20;
/** i32 [P]: nodes a panel. */
export const ROW_COUNT = 24;
export const ROW_WORDS = 8;
