/** The life of a thread of a crew (crew.ts): gets its invitation, then works until it is sent home. */
import { type Invitation, joinCrew } from '../field/fast/index.js';

globalThis.onmessage = (event: MessageEvent<Invitation>) => joinCrew(event.data);
