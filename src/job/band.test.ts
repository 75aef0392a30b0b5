import { describe, expect, it } from 'vitest';
import type { Parameter } from '../units/index.js';
import { bands, ENDS, movedValues, type Swing } from './band.js';

const lognormal = (name: string, nominal: number, factor: number): Parameter => ({
  name,
  record: `test/${name}`,
  nominal,
  low: nominal / factor,
  high: nominal * factor,
  distribution: 'lognormal',
});

const swing = <K extends string>(
  parameters: Parameter[],
  outputs: (values: ReadonlyMap<string, number>) => Record<K, number>,
): Swing<K>[] =>
  parameters.map((parameter) => ({
    parameter,
    low: outputs(movedValues(parameters, parameter, ENDS[0])),
    high: outputs(movedValues(parameters, parameter, ENDS[1])),
  }));

describe('bands', () => {
  const parameters = [lognormal('a', 2, 1.5), lognormal('b', 3, 1.2)];
  const product = (v: ReadonlyMap<string, number>) => ({ y: v.get('a')! * v.get('b')! ** 2 });

  it('are exact for a product of lognormal inputs', () => {
    const band = bands(product(movedValues(parameters)), swing(parameters, product)).y;
    const half = Math.hypot(Math.log(1.5), 2 * Math.log(1.2));
    expect(band.high).toBeCloseTo(18 * Math.exp(half), 9);
    expect(band.low).toBeCloseTo(18 * Math.exp(-half), 9);
    expect(band.shares.map((s) => s.input)).toEqual(['a', 'b']);
    expect(band.shares[0]!.share).toBeCloseTo(Math.log(1.5) ** 2 / half ** 2, 9);
  });

  it('are lopsided where the response saturates', () => {
    const capped = (v: ReadonlyMap<string, number>) => ({ y: Math.min(2.2, v.get('a')!) });
    const band = bands(capped(movedValues(parameters)), swing(parameters, capped)).y;
    expect(band.high).toBeCloseTo(2.2, 9);
    expect(band.low).toBeCloseTo(2 / 1.5, 9);
    expect(band.shares).toHaveLength(1);
  });

  it('collapse where nothing matters', () => {
    const constant = () => ({ y: 5 });
    const band = bands(constant(), swing(parameters, constant)).y;
    expect([band.low, band.high, band.shares.length]).toEqual([5, 5, 0]);
  });
});
