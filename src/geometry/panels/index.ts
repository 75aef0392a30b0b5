/** Cutting surfaces into curved panels: sizes, rows, cuts, measures. May import shapes' vectors. */
export * from './measure.js';
export { FINENESS, type Fineness, type Plane, type Quality, type SizeRequest } from './size.js';
export { facets, type Skin } from './skin.js';
