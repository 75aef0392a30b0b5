import { describe, expect, it } from 'vitest';
import { libraryFiles, testLibrary } from '../../test/library.js';
import {
  bathState,
  checkRecord,
  chosen,
  effectiveKind,
  findBath,
  findMetal,
  formulaMass,
  jsonSchemas,
  type LibraryFile,
  loadLibrary,
  nearestNames,
  parameterOf,
  provenance,
  readPrinted,
  readPrintedWindow,
  type ValueRecord,
} from './index.js';

const library = testLibrary();
const codes = (files: LibraryFile[]) => {
  const loaded = loadLibrary(files);
  return loaded.ok ? [] : loaded.problems.map((p) => p.code);
};
/** The shipped files with one of them changed by hand. */
function spoiled(path: string, change: (content: Record<string, never>) => void): LibraryFile[] {
  return libraryFiles().map((file) => {
    if (file.path !== path) return file;
    const content = structuredClone(file.content) as Record<string, never>;
    change(content);
    return { path, content };
  });
}

describe('the shipped library', () => {
  it('loads without a defect: sources exist, units fit, printed texts convert, ids are unique, names are known', () => {
    expect(codes(libraryFiles())).toEqual([]);
    expect(library.records.size).toBeGreaterThan(400);
  });

  it('says of every record where it comes from', () => {
    for (const id of library.records.keys())
      expect(provenance(library, id)!.citation.length).toBeGreaterThan(5);
    const potential = provenance(library, 'potential.ni')!;
    expect(potential.citation).toContain('from memory');
    expect(potential.kind).toBe('assumed');
  });

  it('counts what nobody has seen as assumed', () => {
    for (const { record } of library.records.values())
      if (record.memory) expect(effectiveKind(record)).toBe('assumed');
  });

  it('carries wide intervals where a value is an estimate of ours', () => {
    for (const { record } of library.records.values()) {
      if (!('value' in record) || record.source !== 'judgement') continue;
      expect('exact' in record.uncertainty, record.id).toBe(false);
      if ('factor' in record.uncertainty) expect(record.uncertainty.factor, record.id).toBeGreaterThan(1.02);
    }
  });

  it('has the formula masses and the nickel of a Watts bath', () => {
    const grams = (formula: string) => formulaMass(library, formula) * 1000;
    expect(grams('NiSO4.6H2O')).toBeCloseTo(262.85, 1);
    expect(grams('NiCl2.6H2O')).toBeCloseTo(237.69, 1);
    expect(grams('Ni(CH3COO)2.4H2O')).toBeCloseTo(248.84, 1);
    expect(grams('Ni(NH2SO3)2.4H2O')).toBeCloseTo(322.93, 1);
    // 300 and 60 g/L hold 81.8 g/L nickel, 1.39378 mol/L.
    expect(bathState(library, library.baths.get('watts-nickel')!).metal / 1393.78).toBeCloseTo(1, 3);
  });

  it('has salts that are neutral and metal in every bath it helps with', () => {
    const charge: Record<string, number> = {
      H: 1,
      Na: 1,
      K: 1,
      Ni: 2,
      Cu: 2,
      Zn: 2,
      'Sn(2)': 2,
      Cl: -1,
      SO4: -2,
      acetate: -1,
      borate: 0,
      sulfamate: -1,
    };
    for (const bath of library.baths.values())
      for (const { gives, formula } of bath.composition ?? [])
        expect(
          Object.entries(gives).reduce((sum, [c, n]) => sum + charge[c]! * n, 0),
          formula,
        ).toBe(0);
    for (const bath of library.baths.values())
      if (!bath.refused) expect(bathState(library, bath).metal, bath.id).toBeGreaterThan(10);
  });

  it('scales the metal salts when the person knows the metal', () => {
    const bath = library.baths.get('acetate-nickel')!;
    const state = bathState(library, bath, { metal: 2.93467, pH: 5 });
    expect(state.metal).toBeCloseTo(50, 6);
    expect(state.pH).toBe(5);
    expect(state.totals.get('Cl')).toBeCloseTo(bathState(library, bath).totals.get('Cl')!, 9);
  });
});

it('agrees with the ions of the equilibrium model, which were taken down apart', () => {
  const other = library.others.find((f) => f.path.endsWith('mobilities.yaml'))!.content as {
    ions: { id: string; diffusivity: string }[];
  };
  const names: Record<string, string> = {
    'acetate-': 'CH3COO-',
    'sulfamate-': 'NH2SO3-',
    Hacetate: 'CH3COOH',
  };
  let shared = 0;
  for (const { id, diffusivity } of other.ions) {
    const own = library.species.get(names[id] ?? id);
    if (!own) continue;
    shared += 1;
    // Hydrogensulfate differs most: 1.385 against 1.331.
    expect(chosen(own.diffusivity).value / readPrinted(diffusivity, 'diffusivity')! - 1, id).toBeCloseTo(
      0,
      1,
    );
  }
  expect(shared).toBeGreaterThan(12);
});

describe('look-up', () => {
  it('finds by id, name or another name, whatever the case', () => {
    for (const typed of ['Ni', 'nickel', 'NICKEL ']) expect(findMetal(library, typed).ok).toBe(true);
    expect(findBath(library, 'vinegar nickel')).toMatchObject({ value: { id: 'acetate-nickel' } });
  });

  it('offers the nearest three', () => {
    const got = findBath(library, 'wats nickel', 'bath.record');
    expect(got.ok).toBe(false);
    if (got.ok) return;
    expect(got.problems[0]).toMatchObject({ code: 'bath-unknown', path: 'bath.record' });
    expect(got.problems[0]!.hint).toContain('Watts nickel');
    expect(nearestNames('coper', library.metals.keys()).length).toBe(3);
  });

  it.each(['cyanide silver', 'silver', 'chrome', 'chromic acid', 'fluoborate', 'gold', 'cyanide copper'])(
    'refuses %s and says who can',
    (typed) => {
      const got = findBath(library, typed);
      expect(got.ok).toBe(false);
      if (got.ok) return;
      expect(got.problems[0]!.code).toBe('bath-refused');
      expect(got.problems[0]!.hint).toContain('licensed');
    },
  );

  it('has no composition under a refused name', () => {
    for (const bath of library.baths.values()) if (bath.refused) expect(bath.composition).toBeUndefined();
  });
});

describe('a defect in a file is found', () => {
  const record = (content: Record<string, never>) =>
    (content as unknown as { density: { records: ValueRecord[] } }).density.records[0]!;
  const nickel = (change: (r: ValueRecord) => void) =>
    codes(spoiled('metals/nickel.yaml', (c) => change(record(c))));

  it.each([
    [
      'a slipped digit',
      (r: ValueRecord) => {
        r.value = 8980;
      },
      'printed-differs',
    ],
    [
      'a source nobody listed',
      (r: ValueRecord) => {
        r.source = 'nowhere';
      },
      'source-unknown',
    ],
    [
      'a unit that is not SI',
      (r: ValueRecord) => {
        r.unit = 'g/cm3';
      },
      'unit-not-si',
    ],
    [
      'a printed text of another quantity',
      (r: ValueRecord) => {
        r.printed = '8.908 V';
      },
      'printed-unreadable',
    ],
    [
      'an interval in another unit',
      (r: ValueRecord) => {
        r.uncertainty = { plusMinus: '3 um' };
      },
      'interval-unreadable',
    ],
    [
      'certainty from memory',
      (r: ValueRecord) => {
        r.uncertainty = { exact: true };
      },
      'exact-from-memory',
    ],
    [
      'a second record of the same id',
      (r: ValueRecord) => {
        r.id = 'cu.density';
      },
      'record-twice',
    ],
    [
      'a condition without a unit',
      (r: ValueRecord) => {
        r.at = { temperature: '25' };
      },
      'condition-unreadable',
    ],
    [
      'a field nobody knows',
      (r: ValueRecord) => {
        (r as unknown as Record<string, number>).guess = 1;
      },
      'record-shape',
    ],
  ] as const)('%s', (_, change, code) => {
    expect(nickel(change)).toContain(code);
  });

  it('a default that is none of the records', () => {
    const files = spoiled('metals/nickel.yaml', (c) => {
      (c as unknown as { density: { use: string } }).density.use = 'ni.densety';
    });
    expect(codes(files)).toContain('default-missing');
  });

  it('a bath that lacks what the laws read, and a refused one that gives a recipe', () => {
    const lacking = spoiled('baths/watts-nickel.yaml', (c) => {
      delete (c as { efficiency?: unknown }).efficiency;
    });
    expect(codes(lacking)).toEqual(['bath-incomplete']);
    const refused = spoiled('baths/acid-copper.yaml', (c) => {
      (c as { refused?: unknown }).refused = { reason: 'no', who: 'nobody' };
    });
    expect(codes(refused)).toEqual(['refused-bath-with-recipe']);
  });

  it('a bath that names what is not there', () => {
    const files = spoiled('baths/watts-nickel.yaml', (c) => {
      (c as unknown as { deposition: string }).deposition = 'deposition.nickle';
    });
    const loaded = loadLibrary(files);
    expect(loaded.ok).toBe(false);
    if (!loaded.ok) expect(loaded.problems[0]!.hint).toContain('deposition.nickel');
  });
});

describe('the 90 % interval', () => {
  const base = { ...chosen(library.metals.get('Ag')!.density), id: 'x' };

  it('is one step either way, one factor either way, or nothing', () => {
    expect(parameterOf({ ...base, value: 10, uncertainty: { factor: 2 } })).toMatchObject({
      low: 5,
      high: 20,
      distribution: 'lognormal',
    });
    expect(parameterOf({ ...base, value: 10000, uncertainty: { plusMinus: '0.5 g/cm3' } })).toMatchObject({
      low: 9500,
      high: 10500,
      distribution: 'normal',
    });
    expect(parameterOf({ ...base, uncertainty: { exact: true } }).distribution).toBe('exact');
  });

  it('reads a step of temperature as a difference', () => {
    const warm = { ...base, quantity: 'temperature' as const, value: 298.15, unit: 'K', printed: '25 C' };
    expect(parameterOf({ ...warm, uncertainty: { plusMinus: '2 C' } })).toMatchObject({
      low: 296.15,
      high: 300.15,
    });
    expect(parameterOf({ ...warm, uncertainty: { plusMinus: '1.8 F' } }).high).toBeCloseTo(299.15, 9);
  });

  it('reads printed values and spans', () => {
    expect(readPrinted('0.58', 'fraction')).toBe(0.58);
    expect(readPrinted('58 %', 'fraction')).toBeCloseTo(0.58, 12);
    expect(readPrinted('0.58', 'voltage')).toBeUndefined();
    expect(readPrintedWindow('20 - 100 A/ft2', 'currentDensity')![0]).toBeCloseTo(215.28, 2);
    expect(readPrintedWindow('-0.5 - 0 pH', 'pH')).toEqual([-0.5, 0]);
    expect(readPrintedWindow('20 A/ft2', 'currentDensity')).toBeUndefined();
  });
});

it('has a JSON Schema for each kind of document', () => {
  for (const schema of Object.values(jsonSchemas())) expect(schema).toHaveProperty('$schema');
});

it('checks one record by itself', () => {
  const placed = library.records.get('ni.density')!;
  expect(checkRecord(placed, library.sources)).toEqual([]);
  expect(checkRecord(placed, new Map())).toHaveLength(1);
});
