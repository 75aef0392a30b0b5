import { parseQuantity } from '../../units/index.js';

/** How shapes are hung at first: long and flat ones upright, rings so that the wire meets the rim. */
const UPRIGHT: Record<string, [string, string, string]> = {
  'band-ring': ['90 deg', '0 deg', '90 deg'],
  torus: ['90 deg', '0 deg', '90 deg'],
  disc: ['90 deg', '0 deg', '0 deg'],
  plate: ['90 deg', '0 deg', '0 deg'],
  'round-case': ['90 deg', '0 deg', '0 deg'],
};

export const turnFor = (shape: Record<string, unknown>): [string, string, string] | undefined =>
  UPRIGHT[String(shape.kind)];

/** Bounds [m] of a shape as `turnFor` hangs it; undefined for a kind the page has no form for. */
export function sizeOf(shape: Record<string, unknown>): [number, number, number] | undefined {
  const length = (key: string, of: Record<string, unknown> = shape): number => {
    const read = parseQuantity(of[key], 'length');
    return read.ok ? read.value : 0;
  };
  const flat = (across: number, thick: number): [number, number, number] => [across, thick, across];
  switch (shape.kind) {
    case 'band-ring':
      return [length('height'), length('outerDiameter'), length('outerDiameter')];
    case 'torus': {
      const across = length('ringDiameter') + length('sectionDiameter');
      return [length('sectionDiameter'), across, across];
    }
    case 'rod':
      return [length('diameter'), length('diameter'), length('length')];
    case 'tube':
      return [length('outerDiameter'), length('outerDiameter'), length('length')];
    case 'disc':
      return flat(length('diameter'), length('thickness'));
    case 'plate':
      return [length('x'), length('thickness'), length('y')];
    case 'sphere':
      return [length('diameter'), length('diameter'), length('diameter')];
    case 'round-case': {
      const lugs = (shape.lugs ?? {}) as Record<string, unknown>;
      return [length('diameter'), length('height'), Math.max(length('diameter'), 2 * length('reach', lugs))];
    }
    default:
      return undefined;
  }
}
