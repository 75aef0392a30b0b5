/**
 * Hot loops of the far field, four single-precision numbers at a time. AssemblyScript; built by scripts/build-wasm.mjs.
 * Every function works on part of a list of a plan (see layout.ts), writes only what belongs to that part, and uses
 * the scratch of its thread; so the parts can be shared out to threads in any order.
 */

export { into, lower, transfer } from './across.as';
export { finish, finishGradient } from './downward.as';
export { nearApply, nearIntegrals } from './near.as';
export { gather, lift, spread } from './upward.as';
