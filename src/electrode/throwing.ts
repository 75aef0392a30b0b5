/** Numbers the trade and the texts use for how evenly a bath throws. */

/**
 * Wagner number: slope of the polarisation over the resistance of the liquid along the part. Well above 1 the deposit is
 * even whatever the shape, well below 1 the shape rules (Wagner, J. Electrochem. Soc. 98 (1951) 116).
 *
 * @param conductivity [S/m]
 * @param slope di/deta of the cathode law at the mean current density [A/(m2 V)]
 * @param length size of the part [m]
 */
export const wagnerNumber = (conductivity: number, slope: number, length: number): number =>
  conductivity / (slope * length);

/**
 * Throwing power from the test cell with a near and a far cathode, as shares (0.1 is 10 %).
 * Haring and Blum, Trans. Am. Electrochem. Soc. 44 (1923) 313; Heatley 1923; Field 1934 (formulas from memory).
 *
 * @param distances far over near distance, above 1
 * @param metals near over far deposit
 */
export const throwingPower = (distances: number, metals: number) => ({
  haringBlum: (distances - metals) / distances,
  heatley: (distances - metals) / (distances - 1),
  field: (distances - metals) / (distances + metals - 2),
});
