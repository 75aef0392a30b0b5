/** What a fresh clone lacks: installed packages, a built program, a browser for the page tests. Plain Node, no dependencies. */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, readdirSync, statSync, symlinkSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = dirname(dirname(fileURLToPath(import.meta.url)));
export const run = (command, args, options = {}) =>
  execFileSync(command, args, { cwd: root, stdio: ['ignore', 2, 2], ...options });
const bin = (name) => join(root, 'node_modules', '.bin', name);

/** Newest modification time below a path. */
const newest = (path) => {
  const stat = statSync(path, { throwIfNoEntry: false });
  if (!stat) return 0;
  if (!stat.isDirectory()) return stat.mtimeMs;
  return Math.max(
    stat.mtimeMs,
    ...readdirSync(path)
      .filter((n) => !n.includes('.generated.'))
      .map((n) => newest(join(path, n))),
  );
};

export function installed() {
  const marker = join(root, 'node_modules', '.package-lock.json');
  if (newest(marker) < newest(join(root, 'package-lock.json'))) {
    process.stderr.write('Installing packages (once) ...\n');
    run('npm', ['ci', '--no-audit', '--no-fund']);
  }
  if (!existsSync(bin('platewright')))
    symlinkSync(join('..', '..', 'bin', 'platewright.js'), bin('platewright'));
}

export function built() {
  const stamp = newest(join(root, 'dist', '.built'));
  const sources = ['src', 'library', 'scripts', 'tsconfig.base.json', 'package-lock.json'].map((p) =>
    newest(join(root, p)),
  );
  if (stamp < Math.max(...sources)) {
    process.stderr.write('Building (once) ...\n');
    run(process.execPath, [join(root, 'scripts', 'build.mjs')]);
  }
}

/** Path of a Chromium, installed from Debian's packages when there is none. */
export function browser() {
  const known = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
  const found = process.env.CHROMIUM ?? known.find((p) => existsSync(p));
  if (found) return found;
  process.stderr.write('Installing Chromium for the page tests (once) ...\n');
  const sudo = process.getuid?.() === 0 ? [] : ['sudo', '-n'];
  for (const args of [['update'], ['install', '-y', '--no-install-recommends', 'chromium']]) {
    const [command, ...rest] = [...sudo, 'apt-get', ...args];
    spawnSync(command, rest, {
      stdio: ['ignore', 2, 2],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
    });
  }
  const now = known.find((p) => existsSync(p));
  if (!now)
    throw new Error(
      'The page tests need Chromium: install it (apt-get install chromium) or set CHROMIUM to its path.',
    );
  return now;
}
