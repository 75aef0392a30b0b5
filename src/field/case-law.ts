import type { Problem } from '../units/index.js';
import type { Law } from './problem.js';

interface Bounds {
  above?: number;
  least?: number;
  most?: number;
}

/** A finite number within bounds; NaN and a problem otherwise. `what` ends the sentence "this is ...". */
export function readNumber(
  value: unknown,
  path: string,
  what: string,
  problems: Problem[],
  { above, least, most }: Bounds = {},
): number {
  const complain = (code: string, why: string): number => {
    problems.push({
      code,
      path,
      message: `${path} (${what}) ${why}; it is ${JSON.stringify(value) ?? 'missing'}.`,
    });
    return Number.NaN;
  };
  if (typeof value !== 'number' || !Number.isFinite(value))
    return complain(value === undefined ? 'number-missing' : 'not-a-number', 'must be a finite number');
  if (above !== undefined && value <= above) return complain('out-of-range', `must be above ${above}`);
  if (least !== undefined && value < least) return complain('out-of-range', `must be at least ${least}`);
  if (most !== undefined && value > most) return complain('out-of-range', `must not exceed ${most}`);
  return value;
}

/** Outside these no resistance, current density or limit of an electrode has ever been: a slip of the unit. */
const ABSURD_LOW = 1e-30;
const ABSURD_HIGH = 1e12;

/** A law of the contract; `undefined` and problems when it cannot be read. */
export function readLaw(value: unknown, path: string, problems: Problem[]): Law | undefined {
  if (typeof value !== 'object' || value === null) {
    problems.push({
      code: 'law-missing',
      path,
      message: 'An electrode needs a law.',
      hint: 'For the primary distribution: {"kind": "fixed"}.',
    });
    return undefined;
  }
  const law = value as Record<string, unknown>;
  const before = problems.length;
  const positive = (key: string, what: string, least = ABSURD_LOW, most = ABSURD_HIGH): number =>
    readNumber(law[key], `${path}.${key}`, what, problems, { above: 0, least, most });
  const kind = readKind(law, path, positive, problems);
  const extra: { limitingCurrentDensity?: number; equilibriumPotential?: number } = {};
  if (law.limitingCurrentDensity !== undefined)
    extra.limitingCurrentDensity = positive('limitingCurrentDensity', 'the limiting current density in A/m2');
  if (law.equilibriumPotential !== undefined)
    extra.equilibriumPotential = readNumber(
      law.equilibriumPotential,
      `${path}.equilibriumPotential`,
      'the equilibrium potential in V',
      problems,
      { least: -1e3, most: 1e3 },
    );
  if (kind?.kind === 'fixed' && extra.limitingCurrentDensity !== undefined)
    problems.push({
      code: 'limit-without-kinetics',
      path: `${path}.limitingCurrentDensity`,
      message: 'With a fixed overpotential there is nothing a limiting current could hold back.',
      hint: 'Give the electrode kinetics (linear, tafel, butler-volmer, table) together with the limit.',
    });
  return problems.length > before || !kind ? undefined : { ...kind, ...extra };
}

function readKind(
  law: Record<string, unknown>,
  path: string,
  positive: (key: string, what: string, least?: number, most?: number) => number,
  problems: Problem[],
): Law | undefined {
  const i0 = 'the exchange current density in A/m2';
  switch (law.kind) {
    case 'fixed':
      return { kind: 'fixed' };
    case 'linear':
      return {
        kind: 'linear',
        resistance: positive('resistance', 'the charge-transfer resistance in ohm m2'),
      };
    case 'tafel':
      return {
        kind: 'tafel',
        exchangeCurrentDensity: positive('exchangeCurrentDensity', i0),
        slope: positive('slope', 'the slope in V per decade', 1e-4, 1e3),
      };
    case 'butler-volmer':
      return {
        kind: 'butler-volmer',
        exchangeCurrentDensity: positive('exchangeCurrentDensity', i0),
        anodicTransfer: positive('anodicTransfer', 'the anodic transfer coefficient', 1e-3, 100),
        cathodicTransfer: positive('cathodicTransfer', 'the cathodic transfer coefficient', 1e-3, 100),
        temperature: positive('temperature', 'the temperature in K', 50, 5000),
      };
    case 'table':
      return readTable(law, path, problems);
    default:
      problems.push({
        code: 'law-unknown',
        path: `${path}.kind`,
        message:
          law.kind === undefined
            ? 'The law has no kind.'
            : `The law ${JSON.stringify(law.kind)} is not known.`,
        hint: 'Use one of fixed, linear, tafel, butler-volmer, table.',
      });
      return undefined;
  }
}

function readTable(law: Record<string, unknown>, path: string, problems: Problem[]): Law | undefined {
  const columns = ['overpotential', 'currentDensity'].map((key) => {
    const list = law[key];
    if (
      Array.isArray(list) &&
      list.length >= 2 &&
      list.every((v) => typeof v === 'number' && Number.isFinite(v))
    )
      return list as number[];
    problems.push({
      code: 'table-column',
      path: `${path}.${key}`,
      message: `${path}.${key} should be a list of at least two finite numbers.`,
    });
    return null;
  });
  const [overpotential, currentDensity] = columns;
  if (!overpotential || !currentDensity) return undefined;
  if (overpotential.length !== currentDensity.length) {
    problems.push({
      code: 'table-lengths',
      path,
      message: `The table has ${overpotential.length} overpotentials and ${currentDensity.length} current densities.`,
    });
    return undefined;
  }
  const order = overpotential.map((_, k) => k).sort((a, b) => overpotential[a] - overpotential[b]);
  const x = order.map((k) => overpotential[k]);
  const y = order.map((k) => currentDensity[k]);
  const bad = x.findIndex((_, k) => k > 0 && !(x[k] > x[k - 1] && y[k] > y[k - 1]));
  if (bad >= 0) {
    problems.push({
      code: 'table-not-monotone',
      path,
      message: `Between ${x[bad - 1]} V and ${x[bad]} V the current density goes from ${y[bad - 1]} to ${y[bad]} A/m2; it must rise with the overpotential.`,
      hint: 'The sign convention is metal into solution: a cathode has negative overpotentials and negative current densities.',
    });
    return undefined;
  }
  return { kind: 'table', overpotential: x, currentDensity: y };
}
