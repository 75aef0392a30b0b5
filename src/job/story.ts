import { growthPerCharge } from '../electrode/index.js';
import { OWN } from './chemistry.js';
import { highest } from './limits.js';
import type { Case, SolvedStep } from './plan.js';
import type { Forecast, Story } from './result.js';
import { mainStep } from './swings.js';

/** Where each figure of a forecast comes from: what it means, its formula, its inputs with records, and the theory. */
export function storiesOf(c: Case, steps: readonly SolvedStep[], f: Forecast): Record<string, Story> {
  const main = mainStep(
    steps,
    f.steps.map((s) => s.duration),
  );
  const { laws } = highest(main);
  const { deposit } = c.chemistry.metal;
  const record = (name: string): string | undefined =>
    c.chemistry.parameters.find((p) => p.name === name)?.record;
  const input = (name: string, value: number, unit: string, from?: string) => {
    const id = from && record(from);
    return { name, value, unit, ...(id && { record: id }) };
  };
  const metal = c.chemistry.metal.id;
  const faraday = [
    input('molar mass M', deposit.molarMass, 'kg/mol'),
    input('electrons an atom z', deposit.valence, '1'),
    input('density rho', deposit.density, 'kg/m3'),
    input('growth a coulomb a square metre M/(z F rho)', growthPerCharge(deposit), 'm3/C'),
  ];
  const field = [
    input('conductivity', laws.conductivity, 'S/m', 'bath.conductivity'),
    input(
      'exchange current density of deposition',
      c.values.get('deposition.exchange')!,
      'A/m2',
      'deposition.exchange',
    ),
    input('limiting current density of the metal', laws.cathode.metalLimit, 'A/m2', 'bath.diffusivity'),
    input('metal in the bath', c.values.get(OWN.metal)!, 'kg/m3', OWN.metal),
    input('panels', f.field.panels, '1'),
    input('unknowns', f.field.unknowns, '1'),
  ];
  const solve = 'docs/theory/field.md';
  const electrode = 'docs/theory/electrode.md';
  const plan = 'docs/theory/forecast.md';
  return {
    current: {
      meaning: `Current through the cell in the main step; ${f.limits[0]?.what ?? 'nothing'} is what would stop it first.`,
      formula:
        'I = usual current density x wetted area, lowered until nothing burns, goes passive or runs out',
      inputs: [
        input('wetted area of the part', f.area.part, 'm2'),
        input('wetted area of hook and robbers', f.area.hook, 'm2'),
        ...f.limits.map((l) => input(`room left: ${l.what}`, l.room, 'times')),
      ],
      theory: `${plan}#current`,
    },
    cellVoltage: {
      meaning: 'Volts from the anode metal to the part, leads not counted, at the end of the main step.',
      formula: 'V = equilibrium + anode overpotential + drop in the liquid + overpotential at the part',
      inputs: [...f.voltageParts.map((p) => input(p.name, p.value, 'V')), ...field],
      theory: `${solve}#drive`,
    },
    duration: {
      meaning: `Time until ${100 * c.job.aim.share} % of the significant surface has ${c.job.aim.thickness * 1e6} um.`,
      formula: 't = d / growth at the slowest allowed place; growth = M i_metal / (z F rho)',
      inputs: [
        input('thickness asked for d', c.job.aim.thickness, 'm'),
        input('share of the surface', c.job.aim.share, '1'),
        ...faraday,
      ],
      theory: `${electrode}#faraday`,
    },
    charge: {
      meaning: 'Ampere-hours through the cell; stop at this, not at the clock.',
      formula: 'Q = sum of I t over the steps',
      inputs: f.steps.flatMap((s) => [
        input(`${s.name}: current`, s.current, 'A'),
        input(`${s.name}: time`, s.duration, 's'),
      ]),
      theory: `${plan}#charge`,
    },
    depositMass: {
      meaning: 'Weight the part gains.',
      formula: 'm = rho x thickness summed over the part',
      inputs: [input('mean thickness', f.thickness.mean, 'm'), input('area', f.area.part, 'm2'), ...faraday],
      theory: `${electrode}#faraday`,
    },
    thickness: {
      meaning:
        'Deposit by place: metal current density from the field solve, through Faraday, summed over steps and poses.',
      formula: 'd(x) = M / (z F rho) x sum of i_metal(x) t',
      inputs: [...faraday, ...field],
      theory: `${solve}#equation`,
    },
    efficiency: {
      meaning: `Share of the current at the part that lays down ${metal}; the rest makes hydrogen.`,
      formula: 'i_metal / (i_metal + i_hydrogen), both at the same potential',
      inputs: [
        input(
          'hydrogen from acid, exchange current density',
          c.values.get('hydrogen.acid.exchange')!,
          'A/m2',
          'hydrogen.acid.exchange',
        ),
        input(
          'hydrogen from water, exchange current density',
          c.values.get('hydrogen.water.exchange')!,
          'A/m2',
          'hydrogen.water.exchange',
        ),
        input('pH', c.chemistry.state.pH, '1'),
        ...field.slice(1, 3),
      ],
      theory: `${electrode}#cathode`,
    },
    burnedArea: {
      meaning: 'Area where the metal current is nearer to its limit than sound deposits bear.',
      formula: 'i >= i_burn: metal at its burning share of the limit, or surface pH at that of the hydroxide',
      inputs: [
        input('burning current density i_burn', laws.burning, 'A/m2'),
        input('burning share of the limit', laws.burningShare, '1', 'bath.burning'),
        input('limiting current density of the metal', laws.cathode.metalLimit, 'A/m2', 'bath.diffusivity'),
      ],
      theory: `${electrode}#flags`,
    },
    bareArea: {
      meaning: 'Area that gets too little metal to cover.',
      formula: 'i < covering current density',
      inputs: [input('covering current density', laws.covering, 'A/m2', 'bath.covering')],
      theory: `${electrode}#flags`,
    },
    hydrogen: {
      meaning: 'Hydrogen from the part and its hook; it must not collect under a lid.',
      formula: 'n = Q_hydrogen / (2 F); volume as an ideal gas at 20 C',
      inputs: [input('amount', f.hydrogen.amount, 'mol')],
      theory: `${electrode}#faraday`,
    },
  };
}
