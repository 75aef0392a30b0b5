/**
 * Ion product of water [mol2/m6]. Harned and Owen, The Physical Chemistry of Electrolytic Solutions, chapter 15:
 * pKw = 4470.99/T - 6.0875 + 0.01706 T, 0 to 60 C (from memory; held to the tabulated pKw in the tests).
 * Concentrations stand for activities here, as everywhere at the surface.
 */
export const waterIonProduct = (temperature: number): number =>
  1e6 * 10 ** -(4470.99 / temperature - 6.0875 + 0.01706 * temperature);
