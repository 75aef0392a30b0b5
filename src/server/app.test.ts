import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fixtureBodies, fixtureForecast, fixtureMap } from '../../test/fixtures/forecast.js';
import { fixtureJob } from '../../test/fixtures/job.js';
import { buildCard, METRIC } from '../job/card/index.js';
import { openStore, type Store } from '../store/index.js';
import { buildApp } from './app.js';

let folder: string;
let store: Store;
let app: FastifyInstance;
const HOSTS = ['127.0.0.1', 'localhost'];
const start = async (options: { token?: string; hosts?: string[] | undefined } = { hosts: HOSTS }) => {
  app = await buildApp({
    store,
    pages: join(folder, 'pages'),
    docs: join(folder, 'docs'),
    library: join(folder, 'library.json'),
    uploadLimit: 1000,
    ...options,
  });
};
const ask = (
  method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE',
  url: string,
  payload?: object | Buffer,
  headers: Record<string, string> = {},
) =>
  app.inject({
    method,
    url,
    headers: { host: 'localhost:4310', ...headers },
    ...(payload === undefined ? {} : { payload }),
  });
const BINARY = { 'content-type': 'application/octet-stream' };

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'platewright-server-'));
  store = await openStore(':memory:');
});
afterEach(async () => {
  await app.close();
  await store.close();
  rmSync(folder, { recursive: true });
});

describe('jobs over HTTP', () => {
  beforeEach(() => start());
  it('saves on top of the version that was edited, and says when another came between', async () => {
    const made = await ask('POST', '/api/jobs', { document: { name: 'Ring', n: 1 } });
    expect(made.statusCode).toBe(201);
    const { id, version } = made.json();
    const saved = await ask('PUT', `/api/jobs/${id}`, { base: version, document: { name: 'Ring', n: 2 } });
    expect(saved.json()).toMatchObject({ document: { n: 2 }, canUndo: true });
    const late = await ask('PUT', `/api/jobs/${id}`, { base: version, document: { n: 9 } });
    expect(late.statusCode).toBe(409);
    expect(late.json()).toMatchObject({ document: { n: 2 } });
    const back = await ask('POST', `/api/jobs/${id}/undo`);
    expect(back.json()).toMatchObject({ document: { n: 1 }, canRedo: true });
    expect((await ask('GET', '/api/jobs')).json()).toMatchObject([{ id, name: 'Ring' }]);
  });
  it('keeps a forecast with the version it was made for, and only for a version there is', async () => {
    const { id, version } = (await ask('POST', '/api/jobs', { document: {} })).json();
    const body = { quality: 'draft', result: { current: 1 } };
    expect((await ask('PUT', `/api/jobs/${id}/forecasts/${version + 1}`, body)).statusCode).toBe(404);
    expect((await ask('PUT', `/api/jobs/${id}/forecasts/${version}`, body)).statusCode).toBe(204);
    expect((await ask('GET', `/api/jobs/${id}/forecasts/${version}`)).json().result).toEqual({ current: 1 });
  });
  it('answers nonsense with problems, never a stack trace', async () => {
    const { id } = (await ask('POST', '/api/jobs', { document: {} })).json();
    for (const [method, url, body] of [
      ['POST', '/api/jobs', { document: 'not an object' }],
      ['PUT', `/api/jobs/${id}`, { base: 'x', document: {} }],
      ['GET', '/api/jobs/not-an-id', undefined],
      ['GET', '/api/nowhere', undefined],
      ['GET', '/api/library', undefined],
      ['POST', '/api/card.pdf', { title: 'half a card' }],
    ] as const) {
      const answer = await ask(method, url, body);
      expect([400, 404]).toContain(answer.statusCode);
      const { problems } = answer.json();
      expect(problems[0].message.length).toBeGreaterThan(5);
      expect(answer.body).not.toMatch(/\.js:\d|at async/);
    }
    const broken = await ask('POST', '/api/jobs', Buffer.from('{"document":'), {
      'content-type': 'application/json',
    });
    expect(broken.json().problems[0].code).toBe('bad-request');
  });
});

describe('part files', () => {
  beforeEach(() => start());
  const upload = (bytes: Buffer, query = 'name=Ring&fileName=ring.stl&unit=mm') =>
    ask('POST', `/api/parts?${query}`, bytes, BINARY);
  it('gives back what was sent and keeps the reading beside it', async () => {
    const bytes = Buffer.from([0, 255, 10, 13, 128]);
    const made = await upload(bytes);
    expect(made.statusCode).toBe(201);
    const { id } = made.json();
    expect((await ask('GET', `/api/parts/${id}/file`)).rawPayload).toEqual(bytes);
    const changed = await ask('PATCH', `/api/parts/${id}`, { unit: 'in', report: { area: 1 } });
    expect(changed.json()).toMatchObject({ unit: 'in', report: { area: 1 }, name: 'Ring' });
  });
  it('refuses what is empty, too large or without a unit', async () => {
    expect((await upload(Buffer.alloc(0))).json().problems[0].code).toBe('empty-file');
    const large = await upload(Buffer.alloc(1001));
    expect([large.statusCode, large.json().problems[0].code]).toEqual([413, 'too-large']);
    expect((await upload(Buffer.alloc(9), 'name=Ring&fileName=r.stl')).statusCode).toBe(400);
  });
});

describe('the guard', () => {
  it('sends a policy without inline scripts on everything', async () => {
    await start();
    const { headers } = await ask('GET', '/api/jobs');
    const policy = String(headers['content-security-policy']);
    expect(policy).toContain("script-src 'self' 'wasm-unsafe-eval'");
    expect(policy).not.toContain('unsafe-inline');
    expect(headers['cross-origin-opener-policy']).toBe('same-origin');
  });
  it('does not answer to a foreign name, nor to writes from a foreign page', async () => {
    await start();
    expect((await ask('GET', '/api/jobs', undefined, { host: 'evil.example:4310' })).statusCode).toBe(403);
    const written = await ask('POST', '/api/jobs', { document: {} }, { 'sec-fetch-site': 'cross-site' });
    expect(written.json().problems[0].code).toBe('foreign-page');
    expect(await store.jobs.list()).toEqual([]);
  });
  it('asks for the token when there is one, once by address and then by cookie', async () => {
    await start({ token: 'secret-token', hosts: undefined });
    expect((await ask('GET', '/api/jobs')).statusCode).toBe(401);
    expect((await ask('GET', '/api/jobs?token=secret-tokem')).statusCode).toBe(401);
    const first = await ask('GET', '/api/jobs?token=secret-token');
    expect(first.statusCode).toBe(200);
    const cookie = String(first.headers['set-cookie']).split(';')[0]!;
    expect((await ask('GET', '/api/jobs', undefined, { cookie })).statusCode).toBe(200);
    expect(
      (await ask('GET', '/api/jobs', undefined, { authorization: 'Bearer secret-token' })).statusCode,
    ).toBe(200);
  });
});

it('describes itself and serves the library', async () => {
  writeFileSync(join(folder, 'library.json'), '{"files":[]}');
  await start();
  const api = (await ask('GET', '/api/openapi.json')).json();
  expect(Object.keys(api.paths)).toEqual(
    expect.arrayContaining(['/api/jobs/{id}', '/api/parts', '/api/card.pdf']),
  );
  expect(api.paths['/api/jobs/{id}'].put.requestBody.content['application/json'].schema.required).toContain(
    'base',
  );
  expect((await ask('GET', '/api/library')).json()).toEqual({ files: [] });
});

it('sets a card as a two-page A5 PDF', async () => {
  await start();
  const card = buildCard({
    job: fixtureJob(),
    forecast: fixtureForecast(),
    map: fixtureMap(48),
    bodies: fixtureBodies(),
    bath: { title: 'Watts nickel' },
    units: METRIC,
  });
  const answer = await ask('POST', '/api/card.pdf', JSON.parse(JSON.stringify(card)));
  expect(answer.headers['content-type']).toBe('application/pdf');
  const pdf = answer.rawPayload.toString('latin1');
  expect(pdf.startsWith('%PDF-')).toBe(true);
  expect(pdf.match(/\/Type \/Page\b(?!s)/g)).toHaveLength(2);
  const [, width, height] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)!;
  expect(Number(width)).toBeCloseTo((148 / 25.4) * 72, 1);
  expect(Number(height)).toBeCloseTo((210 / 25.4) * 72, 1);
});
