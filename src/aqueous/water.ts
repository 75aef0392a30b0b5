import { ZERO_CELSIUS } from '../units/index.js';

/** Pure water at atmospheric pressure, 0 to 100 C. Temperatures in K. */

/** Molar mass of water [kg/mol] (IUPAC). */
export const WATER_MOLAR_MASS = 0.0180153;

/**
 * Density [kg/m3] of air-free water. Kell, J. Chem. Eng. Data 20 (1975) 97, equation 16 (coefficients from memory;
 * held to the Tanaka 2001 values in the tests).
 */
export function waterDensity(temperature: number): number {
  const t = temperature - ZERO_CELSIUS;
  const top =
    999.83952 +
    t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
  return top / (1 + 16.87985e-3 * t);
}

/** Viscosity [Pa s]. Simplified formula of IAPWS R12-08 at 0.1 MPa, -20 to 110 C, within 1 %. */
export function waterViscosity(temperature: number): number {
  const t = temperature / 300;
  return 1e-6 * (280.68 * t ** -1.9 + 511.45 * t ** -7.7 + 61.131 * t ** -19.6 + 0.45903 * t ** -40);
}

/** Relative permittivity. Malmberg and Maryott, J. Res. Natl. Bur. Stand. 56 (1956) 1, 0 to 100 C, within 0.1 (from memory). */
export function waterPermittivity(temperature: number): number {
  const t = temperature - ZERO_CELSIUS;
  return 87.74 + t * (-0.40008 + t * (9.398e-4 - t * 1.41e-6));
}

/**
 * Debye-Hueckel slope A of log10 gamma [kg^1/2 mol^-1/2]: 1.8246e6 sqrt(d) / (eps T)^1.5 with d in g/cm3
 * (Robinson and Stokes, appendix 7.1; 0.509 at 25 C).
 */
export function debyeHueckelSlope(temperature: number): number {
  return (
    (1.82483e6 * Math.sqrt(waterDensity(temperature) / 1000)) /
    (waterPermittivity(temperature) * temperature) ** 1.5
  );
}

/**
 * Vapour pressure [Pa] over water. Wagner's equation with the coefficients of IAPWS SR1-86 (1992)
 * (from memory; 3169 Pa at 25 C, 101.4 kPa at 100 C).
 */
export function waterVapourPressure(temperature: number): number {
  const u = 1 - temperature / 647.096;
  const sum =
    -7.85951783 * u +
    1.84408259 * u ** 1.5 -
    11.7866497 * u ** 3 +
    22.6807411 * u ** 3.5 -
    15.9618719 * u ** 4 +
    1.80122502 * u ** 7.5;
  return 22.064e6 * Math.exp((647.096 / temperature) * sum);
}
