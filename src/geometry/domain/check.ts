import { type Problem, plain } from '../../units/index.js';
import { checkShape } from '../shapes/check.js';
import { CONTACT, type Grouped } from './groups.js';
import { type BodySpec, conducts, type DomainSpec, leadOf, WALL } from './spec.js';
import { checkVessel } from './vessel.js';
import { heights } from './wet.js';

const mm = (x: number): string => `${plain(x * 1e3)} mm`;

/** What is wrong with the description itself. */
export function checkSpec(spec: DomainSpec): Problem[] {
  const problems: Problem[] = [];
  if (spec.bodies.length === 0)
    problems.push({
      code: 'nothing-placed',
      path: 'bodies',
      message: 'Nothing is placed in the vessel.',
      hint: 'Place the part, its hook and at least one anode.',
    });
  const names = new Set<string>();
  spec.bodies.forEach((body, i) => {
    const path = `bodies[${i}]`;
    if (names.has(body.name))
      problems.push({
        code: 'name-twice',
        path: `${path}.name`,
        message: `Two bodies are called ${body.name}.`,
        hint: 'Give each its own name.',
      });
    names.add(body.name);
    if (body.form.kind !== 'mesh') problems.push(...checkShape(body.form, `${path}.form`));
    const { position, turn } = body.placement;
    if (![...position, ...(turn ?? [1])].every(Number.isFinite) || (turn && Math.hypot(...turn) < 1e-6))
      problems.push({
        code: 'place-not-a-number',
        path: `${path}.placement`,
        message: `The place of ${body.name} is not a point and a turn.`,
        hint: 'Give three lengths, and an axis with an angle.',
      });
  });
  if (spec.vessel) problems.push(...checkVessel(spec.vessel), ...checkLevel(spec));
  return problems;
}

function checkLevel(spec: DomainSpec): Problem[] {
  const { vessel, liquidHeight: height, liquidVolume: volume } = spec;
  if ((height === undefined) === (volume === undefined))
    return [
      {
        code: 'liquid-level',
        path: 'liquidHeight',
        message:
          height === undefined
            ? 'Nothing says how full the vessel is.'
            : 'Height and volume of the liquid are both given.',
        hint: 'Give either the height of the liquid or its volume.',
      },
    ];
  if (height !== undefined && !(height > 0 && height <= vessel!.height))
    return [
      {
        code: 'liquid-level',
        path: 'liquidHeight',
        message: `A liquid height of ${mm(height)} does not suit a vessel ${mm(vessel!.height)} high.`,
        hint: 'The liquid stands between the floor and the rim.',
      },
    ];
  return [];
}

/** What is wrong with how things stand. `nodes` are points of each whole body. */
export function checkSetUp(
  spec: DomainSpec,
  nodes: Float64Array[],
  gaps: Grouped['gaps'],
  liquid: number | undefined,
): { problems: Problem[]; warnings: Problem[] } {
  const problems: Problem[] = [];
  const warnings: Problem[] = [];
  for (const gap of gaps) {
    const found = gap.j < 0 ? wallTrouble(spec.bodies[gap.i]!, gap.i, gap.gap) : contactTrouble(spec, gap);
    if (found) (found.serious ? problems : warnings).push(found.problem);
  }
  spec.bodies.forEach((body, i) => {
    const trouble = liquid !== undefined && levelTrouble(body, i, heights(nodes[i]!), liquid);
    if (trouble) problems.push(trouble);
    if (body.role === 'hook' && !gaps.some((g) => reaches(spec, g, i)))
      problems.push({
        code: 'hook-misses-part',
        path: `bodies[${i}]`,
        message: `The hook ${body.name} touches no part.`,
        hint: 'Lengthen it or move it until it ends in the part, or loops around it.',
      });
  });
  return { problems, warnings };
}

const reaches = (spec: DomainSpec, g: Grouped['gaps'][number], hook: number): boolean => {
  const other = g.i === hook ? g.j : g.j === hook ? g.i : -1;
  return other >= 0 && g.gap < CONTACT && ['part', 'robber', 'anode'].includes(spec.bodies[other]!.role);
};

interface Trouble {
  serious: boolean;
  problem: Problem;
}

/** Nearer than this [m] two things of different leads are asking for a short (common practice, no source). */
const CLOSE = 1e-3;

function contactTrouble(spec: DomainSpec, { i, j, gap }: Grouped['gaps'][number]): Trouble | undefined {
  const [a, b] = [spec.bodies[i]!, spec.bodies[j]!];
  const clip = a.role === 'clip' || b.role === 'clip';
  if (leadOf(a) === leadOf(b) || (clip && gap >= CONTACT)) return undefined;
  const path = `bodies[${j}]`;
  const hint = 'Move them apart; a few millimetres at least.';
  if (gap >= CLOSE) return undefined;
  if (gap >= CONTACT)
    return {
      serious: false,
      problem: {
        code: 'nearly-touching',
        path,
        message: `${a.name} and ${b.name} are only ${mm(gap)} apart.`,
        hint,
      },
    };
  if (conducts(a) && conducts(b))
    return {
      serious: true,
      problem: {
        code: 'short-circuit',
        path,
        message: `${a.name} touches ${b.name}: that is a short circuit.`,
        hint,
      },
    };
  return {
    serious: true,
    problem: {
      code: 'bodies-overlap',
      path,
      message: `${a.name} and ${b.name} touch or overlap.`,
      hint: 'Leave a gap, however small, between a shield and metal.',
    },
  };
}

function wallTrouble(body: BodySpec, i: number, gap: number): Trouble | undefined {
  if (gap >= CONTACT || body.role === 'clip') return undefined;
  const path = `bodies[${i}].placement`;
  const outside = gap < -CONTACT;
  return {
    serious: true,
    problem: {
      code: outside ? 'outside-vessel' : 'touches-wall',
      path,
      message: outside
        ? `${body.name} reaches ${mm(-gap)} through the ${WALL} or floor of the vessel.`
        : `${body.name} touches the ${WALL} or floor of the vessel.`,
      hint: outside
        ? 'Move it inward, turn it, or take a larger vessel.'
        : 'Leave half a millimetre for the liquid.',
    },
  };
}

function levelTrouble(
  body: BodySpec,
  i: number,
  [low, high]: [number, number],
  liquid: number,
): Problem | undefined {
  const path = `bodies[${i}].placement`;
  if (body.role === 'clip')
    return low < liquid
      ? {
          code: 'clip-in-liquid',
          path,
          message: `The clip ${body.name} hangs ${mm(liquid - low)} into the liquid; it would be plated and foul the bath.`,
          hint: 'Take a longer hook and clip above the liquid.',
        }
      : undefined;
  if (low >= liquid)
    return {
      code: 'above-liquid',
      path,
      message: `${body.name} hangs ${mm(low - liquid)} above the liquid.`,
      hint: 'Lower it or fill the vessel higher.',
    };
  if (body.role === 'hook' && high < liquid)
    return {
      code: 'hook-under-liquid',
      path,
      message: `The hook ${body.name} ends ${mm(liquid - high)} below the liquid; there is nothing to clip to.`,
      hint: 'Make it long enough to leave the liquid.',
    };
  return undefined;
}
