import { describe, expect, it } from 'vitest';
import { overPanel, volumeBelow } from '../panels/measure.js';
import { openSides } from '../panels/testing/watertight.js';
import { turnAbout, type Vec3 } from '../shapes/index.js';
import { buildDomain } from './build.js';
import { closedSurface } from './closed.js';
import type { Domain } from './domain.js';
import type { BodySpec, DomainSpec } from './spec.js';
import { fillHeight, vesselOfVolume, volumeTo } from './vessel.js';

const ring: BodySpec = {
  name: 'ring',
  role: 'part',
  form: { kind: 'band-ring', outerDiameter: 0.02, thickness: 0.002, height: 0.006, rounding: 0.0004 },
  placement: { position: [0, 0, 0.045], turn: turnAbout([1, 0, 0], Math.PI / 2) },
};
const rod = (x: number, name = 'anode 1'): BodySpec => ({
  name,
  role: 'anode',
  form: { kind: 'rod', diameter: 0.006, length: 0.07 },
  placement: { position: [x, 0, 0.055] },
});
const beaker: DomainSpec = {
  bodies: [ring, rod(0.025)],
  vessel: { kind: 'beaker', diameter: 0.08, height: 0.1 },
  liquidHeight: 0.08,
};

async function built(spec: DomainSpec, previous?: Domain): Promise<Domain> {
  const outcome = await buildDomain(spec, { quality: 'standard', ...(previous && { previous }) });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.value;
}

/** Solid angle of the boundary and its mirror image seen from a point of the liquid: 4 pi all around. */
function solidAngle(domain: Domain, from: Vec3): number {
  let sum = 0;
  const images: Vec3[] = [from, [from[0], from[1], 2 * domain.mirrorHeight! - from[2]]];
  for (let t = 0; t < domain.owner.length; t++)
    overPanel(domain.surface, t, (x, n) => {
      for (const p of images) {
        const d = [x[0] - p[0], x[1] - p[1], x[2] - p[2]] as const;
        sum += (d[0] * n[0] + d[1] * n[1] + d[2] * n[2]) / Math.hypot(...d) ** 3;
      }
    });
  return sum;
}

describe('the electrolyte domain', () => {
  it('closes against the mirror with normals out of the liquid', async () => {
    const domain = await built(beaker);
    expect(openSides(domain.surface, 0.08)).toBe(0);
    expect(solidAngle(domain, [-0.02, 0.01, 0.03]) / (4 * Math.PI)).toBeCloseTo(1, 3);
    expect(solidAngle(domain, [0.0, 0.02, 0.06]) / (4 * Math.PI)).toBeCloseTo(1, 3);
  });

  it('closes with panels in the liquid surface as well', async () => {
    const tilted = {
      ...ring,
      placement: { position: [0, 0, 0.078] as const, turn: turnAbout([1, 0.3, 0], 1) },
    };
    const domain = await built({ ...beaker, bodies: [tilted, rod(0.025)] });
    const closed = closedSurface(domain);
    expect(openSides(closed)).toBe(0);
    // All normals point out of the liquid: the enclosed volume is the liquid.
    expect(volumeBelow(closed, 0) / domain.liquidVolume).toBeCloseTo(1, 9);
  });

  it('holds the liquid of the closed form', async () => {
    const domain = await built(beaker);
    const ringVolume = 2 * Math.PI * 0.009 * (12e-6 - (4 - Math.PI) * 0.16e-6);
    const liquid = Math.PI * (0.04 ** 2 * 0.08 - 0.003 ** 2 * 0.06) - ringVolume;
    expect(domain.liquidVolume / liquid).toBeCloseTo(1, 3);
    expect(
      domain.areas[domain.surface.patchNames.indexOf('wall')]! / (Math.PI * (0.08 * 0.08 + 0.04 ** 2)),
    ).toBeCloseTo(1, 3);
    const back = await built({ bodies: beaker.bodies, vessel: beaker.vessel!, liquidVolume: liquid });
    expect(back.mirrorHeight).toBeCloseTo(0.08, 6);
  });

  it('knows the smallest gaps', async () => {
    const { gaps } = await built(beaker);
    const of = (a: string, b: string): number => gaps.find((g) => g.from === a && g.to === b)!.gap;
    expect(of('ring', 'anode 1')).toBeCloseTo(0.012, 6);
    expect(of('anode 1', 'wall')).toBeCloseTo(0.012, 6);
    // The near edge of the ring, a rounded corner at (r, y) = (9.6, 2.6) mm plus 0.4 mm.
    expect(of('ring', 'wall')).toBeCloseTo(0.04 - Math.hypot(0.0096, 0.0026) - 0.0004, 4);
  });

  it('keeps the panels of everything that did not move, and carries along what did', async () => {
    const first = await built(beaker);
    const second = await built({ ...beaker, bodies: [ring, rod(0.0245)] }, first);
    expect(second.kept).toEqual(['same', 'moved', 'same']);
    expect(second.blocks[0]).toBe(first.blocks[0]);
    expect(second.blocks[1]!.panels).toBe(first.blocks[1]!.panels);
    expect(second.blocks[1]!.nodes[0]! - first.blocks[1]!.nodes[0]!).toBeCloseTo(-0.0005, 12);
    expect(openSides(second.surface, 0.08)).toBe(0);
    const close = await built({ ...beaker, bodies: [ring, rod(0.0145)] }, first);
    expect(close.kept[0]).toBe('new');
    expect(close.blocks[0]!.owner.length).toBeGreaterThan(first.blocks[0]!.owner.length);
  });

  it('cuts a tilted ring that is half immersed', async () => {
    const tilted = {
      ...ring,
      placement: { position: [0, 0, 0.078] as const, turn: turnAbout([1, 0.3, 0], 1) },
    };
    const domain = await built({ ...beaker, bodies: [tilted, rod(0.025)] });
    expect(openSides(domain.surface, 0.08)).toBe(0);
    expect(solidAngle(domain, [-0.02, 0.01, 0.03]) / (4 * Math.PI)).toBeCloseTo(1, 3);
    for (let i = 2; i < domain.surface.nodes.length; i += 3)
      expect(domain.surface.nodes[i]).toBeLessThanOrEqual(0.08);
  });

  it.each([
    ['a short circuit', { bodies: [ring, rod(0.0125)] }, 'short-circuit'],
    [
      'a part outside',
      { bodies: [{ ...ring, placement: { position: [0.035, 0, 0.04] } }, rod(-0.025)] },
      'outside-vessel',
    ],
    ['an anode on the wall', { bodies: [ring, rod(0.037)] }, 'touches-wall'],
    [
      'a part above the liquid',
      { bodies: [{ ...ring, placement: { position: [0, 0, 0.09] } }, rod(0.025)] },
      'above-liquid',
    ],
    ['too much liquid', { liquidHeight: 0.2 }, 'liquid-level'],
    ['nothing', { bodies: [] }, 'nothing-placed'],
    [
      'a wild number',
      { bodies: [{ ...ring, form: { kind: 'sphere', diameter: Number.NaN } }] },
      'size-not-positive',
    ],
  ] as [string, Partial<DomainSpec>, string][])('refuses %s', async (_, change, code) => {
    const outcome = await buildDomain({ ...beaker, ...change }, { quality: 'draft' });
    expect(outcome.ok).toBe(false);
    if (!outcome.ok) expect(outcome.problems.map((p) => p.code)).toContain(code);
  });
});

describe('vessels', () => {
  it('hold what they are made for', () => {
    for (const kind of ['beaker', 'box-tank'] as const) {
      const vessel = vesselOfVolume(kind, 4e-4);
      expect(volumeTo(vessel, vessel.height)).toBeCloseTo(4e-4, 12);
    }
  });

  it('fill a rounded bottom as a quarter torus and disc', () => {
    const vessel = { kind: 'beaker', diameter: 0.08, height: 0.1, corner: 0.01 } as const;
    // Pappus: quarter disc of radius c about the axis at distance m, plus the cylinder inside.
    const [m, c] = [0.03, 0.01];
    const bottom =
      Math.PI * m * m * c + 2 * Math.PI * ((Math.PI / 4) * c * c) * (m + (4 * c) / (3 * Math.PI));
    expect(volumeTo(vessel, 0.01)).toBeCloseTo(bottom, 12);
    expect(volumeTo(vessel, 0.03)).toBeCloseTo(bottom + Math.PI * 0.0016 * 0.02, 12);
  });

  it('rise by what is immersed and refuse to overflow', () => {
    const vessel = { kind: 'round-tank', diameter: 0.1, height: 0.1 } as const;
    const area = Math.PI * 0.0025;
    const rod = Math.PI * 0.01 ** 2;
    const height = fillHeight(vessel, (area - rod) * 0.06, (h) => rod * h);
    expect(height.ok && height.value).toBeCloseTo(0.06, 9);
    expect(fillHeight(vessel, area * 0.11, () => 0).ok).toBe(false);
  });
});

describe('bodies that touch', () => {
  const hook: BodySpec = {
    name: 'hook',
    role: 'hook',
    form: {
      kind: 'wire',
      diameter: 0.0005,
      path: [
        [0, 0, 0.054],
        [0, 0, 0.09],
      ],
    },
    placement: { position: [0, 0, 0] },
  };
  const hung: DomainSpec = { ...beaker, bodies: [ring, hook, rod(0.025), rod(-0.025, 'anode 2')] };

  it('become one piece of metal, closed and with true areas', async () => {
    const domain = await built(hung);
    expect(openSides(domain.surface, 0.08)).toBe(0);
    expect(solidAngle(domain, [-0.012, 0.01, 0.053]) / (4 * Math.PI)).toBeCloseTo(1, 3);
    const area = (name: string): number => domain.areas[domain.surface.patchNames.indexOf(name)]!;
    // The ring loses the disc the wire covers; the wire shows from the ring's outside at 55 mm to the liquid.
    const whole = 2 * Math.PI * 0.009 * (0.016 - 8 * 0.0004 + 2 * Math.PI * 0.0004);
    expect(area('ring') / (whole - Math.PI * 0.00025 ** 2)).toBeCloseTo(1, 3);
    expect(area('hook') / (Math.PI * 0.0005 * 0.025)).toBeCloseTo(1, 3);
  });

  it('keep their structured panels away from the junction', async () => {
    const [alone, joined] = [await built(beaker), await built(hung)];
    const names = new Set<string>();
    const nodes = alone.blocks[0]!.nodes;
    for (let i = 0; i < nodes.length; i += 3) names.add(nodes.subarray(i, i + 3).join());
    const shared = joined.blocks[0]!.nodes.filter(
      (_, i, all) => i % 3 === 0 && names.has(all.subarray(i, i + 3).join()),
    );
    expect(shared.length).toBeGreaterThan(0.5 * names.size);
  });

  it('hangs a watch case made of five pieces', async () => {
    const watch: BodySpec = {
      name: 'case',
      role: 'part',
      form: {
        kind: 'round-case',
        diameter: 0.03,
        height: 0.006,
        bore: 0.024,
        rounding: 0.0005,
        lugs: { strap: 0.014, width: 0.003, reach: 0.019, height: 0.004 },
      },
      placement: { position: [0, 0, 0.045], turn: turnAbout([1, 0, 0], Math.PI / 2) },
    };
    const wire: BodySpec = {
      ...hook,
      form: {
        kind: 'wire',
        diameter: 0.001,
        path: [
          [0.0085, 0, 0.063],
          [0.0085, 0, 0.09],
        ],
      },
    };
    const domain = await built({ ...beaker, bodies: [watch, wire, rod(0.03)] });
    expect(openSides(domain.surface, 0.08)).toBe(0);
    expect(domain.surface.patchNames).toEqual(['case', 'hook', 'anode 1', 'wall']);
    expect(solidAngle(domain, [-0.02, 0.012, 0.02]) / (4 * Math.PI)).toBeCloseTo(1, 3);
  });

  it('refuses a hook that misses, ends under the liquid, or a clip that dips in', async () => {
    const codes = async (spec: DomainSpec): Promise<string[]> => {
      const outcome = await buildDomain(spec, { quality: 'draft' });
      return outcome.ok ? [] : outcome.problems.map((p) => p.code);
    };
    const swap = (h: Partial<BodySpec>) => ({ ...hung, bodies: [ring, { ...hook, ...h }, rod(0.025)] });
    expect(await codes(swap({ placement: { position: [0, 0.01, 0] } }))).toContain('hook-misses-part');
    const short = {
      kind: 'wire',
      diameter: 0.0005,
      path: [
        [0, 0, 0.054],
        [0, 0, 0.07],
      ],
    } as BodySpec['form'];
    expect(await codes(swap({ form: short }))).toContain('hook-under-liquid');
    const clip: BodySpec = {
      name: 'clip',
      role: 'clip',
      form: { kind: 'box', x: 0.005, y: 0.005, z: 0.03 },
      placement: { position: [0, 0, 0.094] },
    };
    expect(await codes({ ...hung, bodies: [...hung.bodies, clip] })).toContain('clip-in-liquid');
  });
});
