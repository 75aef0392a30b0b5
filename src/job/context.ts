import { type Crew, fastOperator, type OperatorMaker } from '../field/index.js';
import type { Booleans, TriangleMesh } from '../geometry/index.js';
import type { Library } from '../library/index.js';

/** What a door hands to the job: everything that had to be read or loaded. */
export interface JobContext {
  library: Library;
  /** Part files by the name the job gives them: imported, repaired, in metres. */
  meshes: ReadonlyMap<string, TriangleMesh>;
  /** Robust booleans, for bodies that touch; without them only set-ups of separate bodies can be cut. */
  booleans?: Booleans;
  /** Threads, if the door has any to spare. */
  crew?: Crew;
  makeOperator?: OperatorMaker;
}

export const operatorOf = (context: JobContext): OperatorMaker =>
  context.makeOperator ?? fastOperator(context.crew);
