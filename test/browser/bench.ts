import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';

/** A running server with its own empty data folder, as `npm start` would leave it. */
export interface Bench {
  address: string;
  folder: string;
  process: ChildProcess;
  /** Ends it the hard way, as a cut of power would. */
  kill(): Promise<void>;
}

/** Starts the built server on a free port and waits for its one line. */
export async function startBench(folder = mkdtempSync(join(tmpdir(), 'platewright-bench-'))): Promise<Bench> {
  const server = spawn(process.execPath, ['dist/server/main.js'], {
    env: { ...process.env, PORT: '0', PLATEWRIGHT_DATA: folder },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let errors = '';
  server.stderr.on('data', (chunk) => {
    errors += String(chunk);
  });
  const address = await new Promise<string>((resolve, reject) => {
    let said = '';
    server.stdout.on('data', (chunk) => {
      said += String(chunk);
      const line = /^platewright is at (http:\/\/127\.0\.0\.1:\d+)\n$/.exec(said);
      if (line) resolve(line[1]!);
    });
    server.on('exit', (code) => reject(new Error(`The server ended with ${code}: ${errors}`)));
  });
  return {
    address,
    folder,
    process: server,
    kill: () =>
      new Promise((resolve) => {
        server.removeAllListeners('exit');
        server.once('exit', () => resolve());
        server.kill('SIGKILL');
      }),
  };
}

export const drop = (bench: Bench): void => rmSync(bench.folder, { recursive: true, force: true });

/** Chromium with software graphics and nothing of its own that talks to a network. */
export const startBrowser = (): Promise<Browser> =>
  chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--use-angle=swiftshader',
      '--enable-unsafe-swiftshader',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--no-first-run',
    ],
  });
