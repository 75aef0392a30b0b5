import { anodeWear, gasAmount } from '../electrode/index.js';
import { measure } from '../geometry/index.js';
import { chosen, type Library } from '../library/index.js';
import { meshOf } from './place.js';
import type { Case, SolvedStep } from './plan.js';
import type { AnodeForecast } from './result.js';

/** What each anode goes through in the whole run. */
export function anodeForecasts(
  c: Case,
  library: Library,
  steps: readonly SolvedStep[],
  times: readonly number[],
): AnodeForecast[] {
  return c.setUp.roles.flatMap((role, patch) =>
    role.role === 'anode' ? [anodeForecast(c, library, steps, times, patch, role.name, role.metal)] : [],
  );
}

function anodeForecast(
  c: Case,
  library: Library,
  steps: readonly SolvedStep[],
  times: readonly number[],
  patch: number,
  name: string,
  metal: string,
): AnodeForecast {
  const { domain, placed } = c.setUp;
  const body = placed.spec.bodies.find((b) => b.name === name)!;
  const { nodes } = steps[0]!.levels[0]!.result;
  const own = [...nodes.panel.keys()].filter((i) => domain.surface.patch[nodes.panel[i]!] === patch);
  const weight = Float64Array.from(own, (i) => nodes.weight[i]!);
  const dissolution = new Float64Array(own.length);
  let [charge, oxygen, chlorine, passive, time] = [0, 0, 0, 0, 0];
  let peak = 0;
  steps.forEach((step, k) => {
    const duration = Math.min(times[k]!, 1e9);
    time += duration;
    for (const { share, result, laws } of step.levels) {
      const law = laws.anodes.get(metal)!;
      const seconds = share * duration;
      own.forEach((i, at) => {
        const eta = result.patches[patch]!.potential - result.nodes.potential[i]! - law.restPotential;
        const split = law.split(eta);
        const area = weight[at]!;
        dissolution[at]! += split.dissolution * seconds;
        oxygen += split.oxygen * area * seconds;
        chlorine += split.chlorine * area * seconds;
        if (law.dissolutionLimit > 0 && split.passivation > PASSIVE) passive += area * seconds;
        charge += result.nodes.currentDensity[i]! * area * seconds;
        peak = Math.max(peak, result.nodes.currentDensity[i]!);
      });
    }
  });
  const area = weight.reduce((a, b) => a + b, 0);
  const entry = library.metals.get(metal);
  const wear =
    entry &&
    anodeWear(
      dissolution.map((x) => x / time),
      weight,
      new Float64Array(own.length).fill(halfThickness(body.form)),
      time,
      {
        molarMass: chosen(library.weights.get(metal)!).value,
        density: chosen(entry.density).value,
        valence:
          c.chemistry.metal.id === metal ? c.chemistry.metal.deposit.valence : entry.valences[0]!.valence,
      },
    );
  const gap = domain.gaps.find(
    (g) => (g.from === 'part' && g.to === name) || (g.to === 'part' && g.from === name),
  );
  const current = charge / time;
  return {
    name,
    metal,
    area,
    current,
    meanCurrentDensity: current / area,
    peakCurrentDensity: peak,
    massLost: wear ? wear.mass : Number.NaN,
    deepestLoss: wear?.deepest ?? 0,
    runsLeft: wear?.runsLeft ?? Number.POSITIVE_INFINITY,
    passiveShare: passive / (area * time),
    oxygen: gasAmount('oxygen', oxygen),
    chlorine: gasAmount('chlorine', chlorine),
    ...(gap && { gap: gap.gap }),
  };
}

/** Of the passivation limit, where a place counts as going passive. */
const PASSIVE = 0.9;

/** Metal behind the surface of a body before it is through [m]: half its thickness, for it is eaten from both sides. */
function halfThickness(form: Case['setUp']['placed']['spec']['bodies'][number]['form']): number {
  switch (form.kind) {
    case 'rod':
    case 'wire':
    case 'sphere':
      return form.diameter / 2;
    case 'plate':
    case 'disc':
    case 'band-ring':
      return form.thickness / 2;
    case 'tube':
      return (form.outerDiameter - form.innerDiameter) / 4;
    case 'box':
      return Math.min(form.x, form.y, form.z) / 2;
    default: {
      // Volume over area is half the thickness of a sheet, and less than that of anything rounder: on the safe side.
      const { area, volume } = measure(meshOf(form));
      return volume / area;
    }
  }
}
