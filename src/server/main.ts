import { randomBytes } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openStore } from '../store/index.js';
import { buildApp } from './app.js';
import { seedDemo } from './demo.js';

/**
 * Starts the server. `PORT` (default 4310), `PLATEWRIGHT_DATA` (folder of the database, default ./data),
 * `PLATEWRIGHT_HOST` (default: this machine only); opened to a network it asks for `PLATEWRIGHT_TOKEN`, or makes one.
 * Standard output gets exactly one line, the address; everything else goes to standard error.
 */
const LOOPBACK = ['127.0.0.1', 'localhost', '[::1]', '::1'];
const dist = dirname(dirname(fileURLToPath(import.meta.url)));

const fail = (message: string): never => {
  process.stderr.write(`${message}\n`);
  process.exit(1);
};

const port = Number(process.env.PORT ?? 4310);
if (!Number.isInteger(port) || port < 0 || port > 65_535)
  fail(`PORT is "${process.env.PORT}", which is not a port. Give a whole number from 1 to 65535.`);
const host = process.env.PLATEWRIGHT_HOST ?? '127.0.0.1';
const open = !LOOPBACK.includes(host);
const token = process.env.PLATEWRIGHT_TOKEN ?? (open ? randomBytes(18).toString('base64url') : undefined);

const folder = resolve(process.env.PLATEWRIGHT_DATA ?? 'data');
try {
  mkdirSync(folder, { recursive: true });
} catch (error) {
  fail(
    `The data folder ${folder} cannot be made: ${(error as Error).message}. Set PLATEWRIGHT_DATA to another.`,
  );
}
const store = await openStore(join(folder, 'bench-book.sqlite')).catch((error: Error) =>
  fail(`The bench book in ${folder} cannot be opened: ${error.message}.`),
);
await seedDemo(store, join(dirname(dist), 'examples', 'workshop'));
const app = await buildApp({
  store,
  pages: join(dist, 'web'),
  docs: join(dirname(dist), 'docs'),
  library: join(dist, 'library.json'),
  token,
  hosts: open ? undefined : LOOPBACK,
});

let closing = false;
const close = async () => {
  if (closing) return;
  closing = true;
  await app.close();
  await store.close();
  process.exit(0);
};
process.on('SIGINT', close);
process.on('SIGTERM', close);

try {
  await app.listen({ port, host });
} catch (error) {
  if ((error as { code?: string }).code === 'EADDRINUSE')
    fail(
      `Port ${port} is taken: platewright may be running already at http://127.0.0.1:${port}, or another program uses it. ` +
        'Stop that one, or choose another port with PORT=4311.',
    );
  fail(`The server cannot listen on ${host}:${port}: ${(error as Error).message}.`);
}
const address = app.server.address();
const actual = typeof address === 'object' && address ? address.port : port;
const shown = host === '::1' ? '[::1]' : open ? host : '127.0.0.1';
if (token !== undefined)
  process.stderr.write(`Open to the network at ${host}: use http://${shown}:${actual}/?token=${token}\n`);
process.stdout.write(`platewright is at http://${shown}:${actual}\n`);
