/**
 * Exact constants of the SI (2019), with the two products electrochemistry lives on.
 * Source: BIPM, The International System of Units, 9th edition (2019), table 1: e, N_A and k are exact by definition.
 */

/** Elementary charge [C], exact. */
export const ELEMENTARY_CHARGE = 1.602176634e-19;
/** Avogadro constant [1/mol], exact. */
export const AVOGADRO = 6.02214076e23;
/** Boltzmann constant [J/K], exact. */
export const BOLTZMANN = 1.380649e-23;
/** Faraday constant [C/mol] = e N_A, exact: 96485.33212... */
export const FARADAY = ELEMENTARY_CHARGE * AVOGADRO;
/** Molar gas constant [J/(mol K)] = k N_A, exact: 8.314462618... */
export const GAS = BOLTZMANN * AVOGADRO;
/** Zero of the Celsius scale [K], exact. */
export const ZERO_CELSIUS = 273.15;
/** Standard atmosphere [Pa], exact (10th CGPM, 1954). */
export const ATMOSPHERE = 101325;
/** Standard acceleration of free fall [m/s2], exact by convention (3rd CGPM, 1901). */
export const GRAVITY = 9.80665;

/** Thermal voltage RT/F [V] at a temperature [K]; 25.6926 mV at 298.15 K. */
export const thermalVoltage = (temperature: number): number => (GAS * temperature) / FARADAY;
