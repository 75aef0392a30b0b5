import type { LibraryFile } from '../../library/index.js';

/** What the forms need of the library: names to choose from and the windows beside the fields. */
export interface BathChoice {
  id: string;
  name: string;
  use?: string;
  metal: string;
  /** Anode metals it takes, the first being usual. */
  anodeMetals: string[];
  agitation?: string;
  temperature?: { printed: string; typical?: number };
  refused?: { reason: string; who: string };
}

export interface SubstrateChoice {
  id: string;
  name: string;
}

export interface Choices {
  baths: BathChoice[];
  substrates: SubstrateChoice[];
  /** Metal names by symbol. */
  metals: Record<string, string>;
}

interface Loose {
  document?: string;
  [key: string]: unknown;
}

/** Picks the choices out of the raw documents; documents of kinds it does not know are passed over. */
export function choicesOf(files: LibraryFile[]): Choices {
  const choices: Choices = { baths: [], substrates: [], metals: {} };
  for (const { content } of files) {
    const doc = (content ?? {}) as Loose;
    if (doc.document === 'bath') choices.baths.push(bathOf(doc));
    else if (doc.document === 'metal') choices.metals[String(doc.id)] = String(doc.name);
    else if (doc.document === 'substrates')
      for (const s of doc.substrates as { id: string; name: string }[])
        choices.substrates.push({ id: s.id, name: s.name });
  }
  choices.baths.sort((a, b) => a.name.localeCompare(b.name));
  choices.substrates.sort((a, b) => a.name.localeCompare(b.name));
  return choices;
}

function bathOf(doc: Loose): BathChoice {
  const temperature = doc.temperature as BathChoice['temperature'] | undefined;
  const anodes = (doc.anodes as { metal: string }[] | undefined) ?? [];
  return {
    id: String(doc.id),
    name: String(doc.name),
    metal: String(doc.metal),
    anodeMetals: anodes.length ? anodes.map((a) => a.metal) : [String(doc.metal)],
    ...(doc.use === undefined ? {} : { use: String(doc.use) }),
    ...(doc.agitation === undefined ? {} : { agitation: String(doc.agitation) }),
    ...(temperature ? { temperature } : {}),
    ...(doc.refused ? { refused: doc.refused as { reason: string; who: string } } : {}),
  };
}

/** Tint of a bath by the metal in it: the page and the liquid in the picture take it on. */
export const tintOf = (metal: string | undefined): 'green' | 'blue' | 'grey' =>
  metal === 'Ni' || metal === undefined ? 'green' : metal === 'Cu' ? 'blue' : 'grey';
