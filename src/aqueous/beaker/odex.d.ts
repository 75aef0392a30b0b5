/** The part of odex (Hairer and Wanner's extrapolation code, BSD) that the beaker uses; the package ships its source instead of declarations. */
declare class Solver {
  constructor(n: number);
  relativeTolerance: number | number[];
  absoluteTolerance: number | number[];
  initialStepSize: number;
  maxStepSize: number;
  maxSteps: number;
  solve(
    f: (x: number, y: number[]) => number[],
    x: number,
    y: number[],
    xEnd: number,
    out?: (n: number, xOld: number, x: number, y: number[]) => boolean | undefined,
  ): { y: number[]; outcome: number; nStep: number; nEval: number; nReject: number; xEnd: number };
}
declare const odex: { Solver: typeof Solver };
export default odex;
