/** The life of a thread of a crew (crew.ts). */
import { workerData } from 'node:worker_threads';
import { type Invitation, joinCrew } from '../field/fast/index.js';

joinCrew(workerData as Invitation);
