import * as fc from 'fast-check';
import { expect, it } from 'vitest';
import { libraryFiles } from '../../test/library.js';
import { type LibraryFile, loadLibrary } from './index.js';

const files = libraryFiles().filter((f) =>
  /^(baths|kinetics|metals|bench|elements|species\/ions|sources)/.test(f.path),
);

/** Every place in a document as a path of keys. */
function places(content: unknown, path: (string | number)[] = []): (string | number)[][] {
  if (typeof content !== 'object' || content === null) return [path];
  const inner = Object.entries(content).flatMap(([key, value]) => places(value, [...path, key]));
  return path.length ? [path, ...inner] : inner;
}

const junk = fc.oneof(
  fc.constantFrom<unknown>(
    null,
    undefined,
    '',
    {},
    [],
    Number.NaN,
    0,
    -1,
    1e308,
    '8 V',
    'constructor',
    '__proto__',
  ),
  fc.string(),
  fc.double(),
  fc.anything({ maxDepth: 2 }),
);

it('a file spoiled anywhere is refused or still right, never an exception', () => {
  const seed = Number(process.env.FUZZ_SEED ?? 42);
  process.stderr.write(`seed ${seed}\n`);
  const all = files.map((f) => places(f.content));
  let refusals = 0;
  fc.assert(
    fc.property(fc.nat(), fc.nat(), junk, fc.boolean(), (which, where, value, remove) => {
      const at = which % files.length;
      const path = all[at]![where % all[at]!.length]!;
      const content = structuredClone(files[at]!.content) as Record<string, never>;
      let parent: Record<string, unknown> = content;
      for (const key of path.slice(0, -1)) parent = parent[key] as Record<string, unknown>;
      const last = path.at(-1)!;
      if (remove) delete parent[last];
      else parent[last] = value;
      const spoiled: LibraryFile[] = files.map((f, k) => (k === at ? { path: f.path, content } : f));
      const loaded = loadLibrary(spoiled);
      if (!loaded.ok) {
        refusals += 1;
        for (const p of loaded.problems) expect(p.message.length).toBeGreaterThan(0);
      }
    }),
    { seed, numRuns: 400 },
  );
  expect(refusals).toBeGreaterThan(200);
});
