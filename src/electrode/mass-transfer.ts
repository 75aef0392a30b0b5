import { FARADAY, GAS, GRAVITY } from '../units/index.js';

/**
 * How fast ions reach a surface: mass-transfer coefficients k [m/s], averaged over the surface.
 * Correlations hold for dilute species in a liquid with one viscosity; docs/theory/electrode.md#mass-transfer gives the
 * sources, their ranges and the worked checks.
 */
export interface Transfer {
  /** [m/s] */
  coefficient: number;
  regime: 'laminar' | 'transition' | 'turbulent' | 'layer';
  /** False where the correlation was not measured; the number is then an extrapolation. */
  withinRange: boolean;
  /** The dimensionless numbers it came from, for the story of the number. */
  numbers: Record<string, number>;
}

/**
 * Natural convection at a vertical surface: the liquid at a cathode loses metal, grows light and rises.
 * Wilke, Eisenberg and Tobias, J. Electrochem. Soc. 100 (1953) 513: Sh = 0.66 (Sc Gr)^0.25 up to 1e12;
 * Fouad and Ibl, Electrochim. Acta 3 (1960) 233: Sh = 0.31 (Sc Gr)^0.28 from 4e13 (both from memory).
 * Between the two the numbers are joined on logarithmic scales. Gas bubbles stir more than this; they are left out, so
 * the limit is not flattered.
 *
 * @param height height of the surface [m]
 * @param diffusivity of the ion that limits [m2/s]
 * @param kinematicViscosity [m2/s]
 * @param densityDifference (bulk - surface)/bulk at the limiting current, positive
 */
export function naturalConvection(input: {
  height: number;
  diffusivity: number;
  kinematicViscosity: number;
  densityDifference: number;
}): Transfer {
  const { height, diffusivity, kinematicViscosity: nu, densityDifference } = input;
  const grashof = (GRAVITY * height ** 3 * densityDifference) / nu ** 2;
  const schmidt = nu / diffusivity;
  const rayleigh = grashof * schmidt;
  const laminar = (x: number) => 0.66 * x ** 0.25;
  const turbulent = (x: number) => 0.31 * x ** 0.28;
  const [LAMINAR_END, TURBULENT_START] = [1e12, 4e13];
  let sherwood = laminar(rayleigh);
  let regime: Transfer['regime'] = 'laminar';
  if (rayleigh >= TURBULENT_START) {
    sherwood = turbulent(rayleigh);
    regime = 'turbulent';
  } else if (rayleigh > LAMINAR_END) {
    const share = Math.log(rayleigh / LAMINAR_END) / Math.log(TURBULENT_START / LAMINAR_END);
    sherwood = laminar(LAMINAR_END) * (turbulent(TURBULENT_START) / laminar(LAMINAR_END)) ** share;
    regime = 'transition';
  }
  return {
    coefficient: (sherwood * diffusivity) / height,
    regime,
    withinRange: rayleigh > 1e6 && rayleigh < 1e15,
    numbers: { grashof, schmidt, sherwood },
  };
}

/**
 * A diffusion layer of known thickness. Thickness grows with the cube root of the diffusivity, as it does in every
 * laminar layer at high Schmidt number (Levich), so one record serves ions of different speed.
 *
 * @param layer thickness [m] for a species of `reference` diffusivity [m2/s]
 */
export const diffusionLayer = (layer: number, reference: number, diffusivity: number): Transfer => ({
  coefficient: diffusivity / (layer * (diffusivity / reference) ** (1 / 3)),
  regime: 'layer',
  withinRange: true,
  numbers: { layer: layer * (diffusivity / reference) ** (1 / 3) },
});

/**
 * Liquid pumped along a flat surface of a length [m] at a speed [m/s].
 * Pohlhausen: Sh = 0.664 Re^1/2 Sc^1/3 to Re 5e5, then Sh = (0.037 Re^0.8 - 871) Sc^1/3 (Incropera and DeWitt,
 * Fundamentals of Heat and Mass Transfer, chapter 7; from memory).
 */
export function alongPlate(input: {
  speed: number;
  length: number;
  diffusivity: number;
  kinematicViscosity: number;
}): Transfer {
  const { speed, length, diffusivity, kinematicViscosity } = input;
  const reynolds = (speed * length) / kinematicViscosity;
  const schmidt = kinematicViscosity / diffusivity;
  const laminar = reynolds < 5e5;
  const sherwood =
    (laminar ? 0.664 * Math.sqrt(reynolds) : 0.037 * reynolds ** 0.8 - 871) * Math.cbrt(schmidt);
  return {
    coefficient: (sherwood * diffusivity) / length,
    regime: laminar ? 'laminar' : 'turbulent',
    withinRange: reynolds > 100 && reynolds < 1e8,
    numbers: { reynolds, schmidt, sherwood },
  };
}

/**
 * Rotating disc. Levich: k = 0.620 D^2/3 nu^-1/6 omega^1/2 (infinite Schmidt number: 0.62045).
 *
 * @param rotation angular speed [rad/s]
 */
export const rotatingDisc = (rotation: number, diffusivity: number, kinematicViscosity: number): number =>
  0.62 * diffusivity ** (2 / 3) * kinematicViscosity ** (-1 / 6) * Math.sqrt(rotation);

/**
 * Rotating cylinder, turbulent (a rod or ring turned in the bath). Eisenberg, Tobias and Wilke, J. Electrochem. Soc. 101
 * (1954) 306: k = 0.0791 U Re^-0.30 Sc^-0.644 for Re = U d/nu from 1e3 to 1e5 (from memory).
 *
 * @param speed of the surface [m/s]
 * @param diameter [m]
 */
export function rotatingCylinder(
  speed: number,
  diameter: number,
  diffusivity: number,
  kinematicViscosity: number,
): Transfer {
  const reynolds = (speed * diameter) / kinematicViscosity;
  const schmidt = kinematicViscosity / diffusivity;
  return {
    coefficient: 0.0791 * speed * reynolds ** -0.3 * schmidt ** -0.644,
    regime: 'turbulent',
    withinRange: reynolds >= 1e3 && reynolds <= 1e5,
    numbers: { reynolds, schmidt },
  };
}

/**
 * Highest current density [A/m2] diffusion can feed: z F k c, times what migration adds.
 *
 * @param concentration [mol/m3]
 * @param migration factor of at least 1; see `migrationBound`
 */
export const limitingCurrent = (
  electrons: number,
  coefficient: number,
  concentration: number,
  migration = 1,
): number => electrons * FARADAY * coefficient * concentration * migration;

/**
 * Most that migration can add to a limiting current when the ion itself carries a share of the current: 1/(1 - t).
 * Exact for a salt alone in solution; with supporting electrolyte the truth lies between 1 and this.
 */
export const migrationBound = (transferenceNumber: number): number => 1 / (1 - transferenceNumber);

/**
 * Time [s] after which a constant current density [A/m2] has emptied the still liquid at the surface.
 * Sand 1901: tau = pi D (z F c)^2 / (4 i^2).
 */
export const sandTime = (
  electrons: number,
  diffusivity: number,
  concentration: number,
  currentDensity: number,
): number => (Math.PI * diffusivity * (electrons * FARADAY * concentration) ** 2) / (4 * currentDensity ** 2);

/**
 * Diffusivity [m2/s] of an ion from its limiting conductivity. Nernst and Einstein: D = R T lambda / (z F^2).
 *
 * @param conductivity limiting conductivity per equivalent [S m2/mol]
 */
export const nernstEinstein = (conductivity: number, charge: number, temperature: number): number =>
  (GAS * temperature * conductivity) / (Math.abs(charge) * FARADAY ** 2);

/**
 * Diffusivity [m2/s] at another temperature. Stokes and Einstein: D proportional to T over viscosity, here that of water.
 *
 * @param waterViscosity viscosity of water [Pa s] at a temperature [K]
 */
export const stokesEinstein = (
  diffusivity: number,
  from: number,
  to: number,
  waterViscosity: (temperature: number) => number,
): number => (diffusivity * to * waterViscosity(from)) / (from * waterViscosity(to));
