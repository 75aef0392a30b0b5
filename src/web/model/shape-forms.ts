import type { Dimension } from '../../units/index.js';

/** One number of a shape, as the form asks for it. */
export interface ShapeNumber {
  key: string;
  label: string;
  start: string;
  optional?: boolean;
}

/** Shapes the page offers with a few numbers; the job file knows more (lathed profiles, outlines, bent wire). */
export interface ShapeForm {
  kind: string;
  label: string;
  help: string;
  numbers: ShapeNumber[];
}

export const SHAPE_DIMENSION: Dimension = 'length';

export const SHAPE_FORMS: ShapeForm[] = [
  {
    kind: 'band-ring',
    label: 'Band ring',
    help: 'A finger ring or collar: a band closed on itself.',
    numbers: [
      { key: 'outerDiameter', label: 'Outside diameter', start: '20 mm' },
      { key: 'thickness', label: 'Thickness of the band', start: '2 mm' },
      { key: 'height', label: 'Width of the band', start: '6 mm' },
      { key: 'rounding', label: 'Rounding of the edges', start: '0.4 mm' },
    ],
  },
  {
    kind: 'rod',
    label: 'Rod, handle, screw shank',
    help: 'A straight round bar.',
    numbers: [
      { key: 'diameter', label: 'Diameter', start: '8 mm' },
      { key: 'length', label: 'Length', start: '50 mm' },
      { key: 'rounding', label: 'Rounding of the ends', start: '0.5 mm', optional: true },
    ],
  },
  {
    kind: 'tube',
    label: 'Tube, bush, bezel',
    help: 'A round pipe, open at both ends.',
    numbers: [
      { key: 'outerDiameter', label: 'Outside diameter', start: '16 mm' },
      { key: 'innerDiameter', label: 'Inside diameter', start: '13 mm' },
      { key: 'length', label: 'Length', start: '30 mm' },
      { key: 'rounding', label: 'Rounding of the edges', start: '0.3 mm', optional: true },
    ],
  },
  {
    kind: 'disc',
    label: 'Disc, coin, button',
    help: 'A flat round piece.',
    numbers: [
      { key: 'diameter', label: 'Diameter', start: '30 mm' },
      { key: 'thickness', label: 'Thickness', start: '2 mm' },
      { key: 'rounding', label: 'Rounding of the edge', start: '0.3 mm', optional: true },
    ],
  },
  {
    kind: 'plate',
    label: 'Plate, escutcheon, blade',
    help: 'A flat piece with straight sides.',
    numbers: [
      { key: 'x', label: 'Length', start: '50 mm' },
      { key: 'y', label: 'Width', start: '25 mm' },
      { key: 'thickness', label: 'Thickness', start: '1.5 mm' },
      { key: 'cornerRadius', label: 'Corner radius', start: '3 mm', optional: true },
    ],
  },
  {
    kind: 'sphere',
    label: 'Ball, knob',
    help: 'Round all over.',
    numbers: [{ key: 'diameter', label: 'Diameter', start: '25 mm' }],
  },
  {
    kind: 'torus',
    label: 'Ring of round wire',
    help: 'A jump ring, handle ring or link.',
    numbers: [
      { key: 'ringDiameter', label: 'Diameter of the centre line', start: '25 mm' },
      { key: 'sectionDiameter', label: 'Thickness of the wire', start: '3 mm' },
    ],
  },
  {
    kind: 'round-case',
    label: 'Round case with lugs',
    help: 'A watch case.',
    numbers: [
      { key: 'diameter', label: 'Diameter', start: '36 mm' },
      { key: 'height', label: 'Height', start: '8 mm' },
      { key: 'bore', label: 'Bore', start: '28 mm' },
      { key: 'rounding', label: 'Rounding of the edges', start: '0.5 mm' },
      { key: 'lugs.strap', label: 'Strap width', start: '18 mm' },
      { key: 'lugs.width', label: 'Width of a lug', start: '3 mm' },
      { key: 'lugs.reach', label: 'Lug tip from the centre', start: '22 mm' },
      { key: 'lugs.height', label: 'Height of a lug', start: '4 mm' },
    ],
  },
];

export const shapeForm = (kind: unknown): ShapeForm | undefined => SHAPE_FORMS.find((f) => f.kind === kind);

/** A shape of a kind with the numbers the form starts from. */
export function startShape(form: ShapeForm): Record<string, unknown> {
  const shape: Record<string, unknown> = { kind: form.kind };
  for (const { key, start } of form.numbers) {
    const [outer, inner] = key.split('.') as [string, string | undefined];
    if (inner === undefined) shape[outer] = start;
    else shape[outer] = { ...(shape[outer] as object | undefined), [inner]: start };
  }
  return shape;
}
