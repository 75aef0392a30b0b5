import { describe, expect, it } from 'vitest';
import { bandJob } from '../../test/fixtures/band-job.js';
import { jobJsonSchema, readJob } from './read.js';

const problemsOf = (edit: (job: ReturnType<typeof bandJob>) => void) => {
  const document = bandJob();
  edit(document);
  const read = readJob(document);
  return read.ok ? [] : read.problems;
};

describe('the job file', () => {
  it('is read into SI', () => {
    const read = readJob(bandJob());
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    expect(read.value.part.position).toEqual([0, 0, 0.045]);
    expect(read.value.part.turn?.[0]).toBeCloseTo(Math.PI / 2, 12);
    expect(read.value.aim).toEqual({ thickness: expect.closeTo(1e-5, 12), share: 0.95 });
    expect(read.value.steps).toEqual([{ name: 'plate' }]);
    expect(read.value.quality).toBe('standard');
  });

  it('names a missing unit, its place and what would fit', () => {
    const problems = problemsOf((job) => Object.assign(job.aim, { thickness: '10' }));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ code: 'unit-missing', path: 'aim.thickness' });
    expect(problems[0]!.message).toContain('aim.thickness');
    expect(problems[0]!.hint).toContain('um');
  });

  it('says what a mistyped field may have meant', () => {
    const problems = problemsOf((job) => Object.assign(job.part, { substrat: 'brass' }));
    const typo = problems.find((p) => p.path === 'part.substrat');
    expect(typo?.code).toBe('unknown-field');
    expect(typo?.hint).toContain('substrate');
  });

  it('collects every problem at once', () => {
    const problems = problemsOf((job) => {
      Object.assign(job.aim, { thickness: 'thick' });
      Object.assign(job.vessel, { diameter: '80' });
      Object.assign(job.anodes[0]!, { position: ['0 mm', '0 mm'] });
    });
    const paths = problems.map((p) => p.path);
    expect(paths).toEqual(expect.arrayContaining(['aim.thickness', 'vessel.diameter']));
    expect(paths.some((p) => p.startsWith('anodes[0].position'))).toBe(true);
  });

  it('looks into the likeliest form of a union', () => {
    const problems = problemsOf((job) =>
      Object.assign(job.part, { solid: { shape: { kind: 'disc', diameter: '30', thickness: '2 mm' } } }),
    );
    expect(problems[0]).toMatchObject({ code: 'unit-missing', path: 'part.solid.shape.diameter' });
  });

  it.each([null, 7, 'text', [], {}])('refuses %j without an exception', (document) => {
    const read = readJob(document);
    expect(read.ok).toBe(false);
    if (!read.ok) for (const p of read.problems) expect(p.message.length).toBeGreaterThan(5);
  });

  it('has a JSON Schema that names its parts', () => {
    const schema = jobJsonSchema() as { properties: Record<string, unknown>; required: string[] };
    expect(Object.keys(schema.properties)).toEqual(
      expect.arrayContaining(['part', 'vessel', 'bath', 'anodes', 'aim', 'steps', 'poses']),
    );
    expect(schema.required).toContain('part');
  });
});
