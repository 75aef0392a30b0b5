import {
  DRAG_OUT,
  dilutionOf,
  dragOut,
  heatingPower,
  hydroxideSolubility,
  metalBalance,
  metalByRecipe,
  metalByTitration,
  metalShare,
  rinseRatio,
  singleRinseFlow,
  wastePlan,
} from '../../src/process/index.js';
import type { Study } from '../runner.js';
import { library, metal, molarMass, practice, sure } from './records.js';

const share = (salt: string) => () => metalShare(library, 'Ni', salt);
const thousandAmpereHours = () => metalBalance(metal('nickel'), 3.6e6, 1, 0.95);
/** Drag-out of 600 ft2/h at 20 mL/ft2 [m3/s] from a bath of 250 g/L copper. */
const dragRate = (600 * 20e-6) / 3600;
const rinseFlow = (mgPerLitre: number) => () => singleRinseFlow(250 * dragRate, mgPerLitre * 1e-3) * 60e3;
const gramOfNickel = (ph = 10) =>
  sure(
    wastePlan(library, practice, {
      metal: 'nickel',
      volume: 1e-3,
      concentration: 1,
      acid: 0,
      ph,
      complexant: false,
    }),
  );
/** Nickel over its hydroxide [mg/L]. */
const over = (pKsp: number, ph: number) => () => hydroxideSolubility(pKsp, 2, ph) * molarMass('Ni') * 1e6;

export const study: Study = {
  'share-sulfate6': share('NiSO4.6H2O'),
  'share-sulfate7': share('NiSO4.7H2O'),
  'share-chloride': share('NiCl2.6H2O'),
  'share-carbonate': share('NiCO3'),
  'share-sulfamate': share('Ni(SO3NH2)2.4H2O'),
  'share-acetate': share('Ni(CH3COO)2.4H2O'),
  'watts-weak': () => metalByRecipe(library, 'Ni', { 'NiSO4.6H2O': 240, 'NiCl2.6H2O': 45 }),
  'balance-in': () => thousandAmpereHours().in * 1e3,
  'balance-out': () => thousandAmpereHours().out * 1e3,
  'drag-volume': () => dragOut(0.1, 81.8).volume * 1e6,
  'drag-nickel': () => dragOut(0.1, 81.8, DRAG_OUT).mass * 1e3,
  'heat-energy': () => (heatingPower(10, 35, 3600) * 3600) / 1e6,
  'heat-power': () => heatingPower(10, 35, 3600),
  'rinse-single': () => dilutionOf(99, 1),
  'rinse-1': () => rinseRatio(1000, 1),
  'rinse-2': () => rinseRatio(1000, 2),
  'rinse-3': () => rinseRatio(1000, 3),
  'rinse-4': () => rinseRatio(1000, 4),
  'rinse-flow-50': rinseFlow(50),
  'rinse-flow-100': rinseFlow(100),
  'rinse-flow-200': rinseFlow(200),
  'rinse-two': () => rinseRatio(250e3 / 100, 2) * dragRate * 60e3,
  'edta-per-ml': () => metalByTitration(1e-6, 100, 2e-6, molarMass('Ni')),
  'edta-26': () => metalByTitration(26e-6, 100, 2e-6, molarMass('Ni')),
  'edta-published': () => metalByTitration(12.4e-6, 10, 50e-6, 1),
  'dose-caustic': () => gramOfNickel().alkali[0]!.mass * 1e3,
  'dose-lime': () => gramOfNickel().alkali[1]!.mass * 1e3,
  'dose-soda': () => gramOfNickel().alkali[2]!.mass * 1e3,
  sludge: () => gramOfNickel().sludge * 1e3,
  'ksp-1526-ph8': over(15.26, 8),
  'ksp-1526-ph9': over(15.26, 9),
  'ksp-1526-ph10': over(15.26, 10),
  'ksp-147-ph8': over(14.7, 8),
  'ksp-147-ph9': over(14.7, 9),
  'ksp-147-ph10': over(14.7, 10),
  'soda-fails': () => gramOfNickel().bakingSoda.low / gramOfNickel().limit!,
};
