import { AxeBuilder } from '@axe-core/playwright';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Bench, drop, startBench, startBrowser } from './bench.js';

/** A forecast is a real one, computed in the page; on a busy machine that takes a while. */
const FORECAST = 400_000;
const SIZES = [
  { width: 1360, height: 900 },
  { width: 360, height: 740 },
];

let bench: Bench;
let browser: Browser;
let context: BrowserContext;
let page: Page;
const asked: string[] = [];
const complaints: string[] = [];
let steps = 0;

/** One thing a person does. */
const act = async (what: Promise<unknown>) => {
  steps += 1;
  await what;
};
const press = (name: string | RegExp) => page.getByRole('button', { name }).first().click();
const sideways = () =>
  page.evaluate<number>('document.documentElement.scrollWidth - document.documentElement.clientWidth');

beforeAll(async () => {
  bench = await startBench();
  browser = await startBrowser();
  context = await browser.newContext({ viewport: SIZES[0]!, colorScheme: 'light' });
  page = await context.newPage();
  page.setDefaultTimeout(60_000);
  context.on('request', (request) => asked.push(request.url()));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
});
afterAll(async () => {
  await browser?.close();
  await bench?.kill();
  if (bench) drop(bench);
});

describe('a newcomer', () => {
  it(
    'gets from the first page to a job card in at most twelve steps',
    async () => {
      steps = 0;
      await act(page.goto(bench.address));
      await act(press('New job'));
      await act(page.getByRole('button', { name: /Shape/ }).click());
      await act(page.getByRole('option', { name: 'Ball, knob' }).click());
      await act(
        page
          .getByRole('button', { name: /^Watts nickel|Bath/ })
          .first()
          .click(),
      );
      await act(page.getByRole('option', { name: 'acid copper', exact: true }).click());
      await act(press('Hang it in a bath'));
      await page.locator('.number, .note-stop').first().waitFor({ timeout: FORECAST });
      expect(await page.locator('.note-stop').allTextContents()).toEqual([]);
      await page.getByText('copper laid down').waitFor();
      await act(press('Make the job card'));
      await page.getByText('stop at charge').waitFor();
      expect(steps).toBeLessThanOrEqual(12);
      const card = await page.locator('.card-host .card').textContent();
      expect(card).toMatch(/set current/);
      expect(card).toMatch(/copper on brass, at least 10 µm/);
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
      const sheets = pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
      expect(sheets).toBeGreaterThanOrEqual(2);
      expect(sheets).toBeLessThanOrEqual(3);
    },
    FORECAST + 60_000,
  );
  it('saves the card as a PDF', async () => {
    const waiting = page.waitForEvent('download');
    await press('Save as PDF');
    const download = await waiting;
    expect(download.suggestedFilename()).toMatch(/job card\.pdf$/);
  });
});

describe('the forecast on the page', () => {
  beforeAll(async () => {
    await page.getByRole('link', { name: 'Back to the job' }).click();
    await page.getByText('copper laid down').waitFor();
  });
  it('is kept when going to the card and back', async () => {
    expect(await page.getByRole('button', { name: 'Make the job card' }).isVisible()).toBe(true);
  });
  it('tells where a number comes from', async () => {
    await page.getByRole('button', { name: /^current:/ }).click();
    const dialog = page.getByRole('dialog');
    expect(await dialog.textContent()).toMatch(/What makes it uncertain/);
    expect(await dialog.getByRole('row').count()).toBeGreaterThan(2);
    const axe = await new AxeBuilder({ page }).analyze();
    expect(axe.violations.map((v) => `${v.id}: ${v.nodes[0]?.html}`)).toEqual([]);
    await page.keyboard.press('Escape');
    await dialog.waitFor({ state: 'detached' });
  });
  it('shows the thickness where the pointer is, and turns by keys', async () => {
    const canvas = page.locator('canvas');
    await canvas.scrollIntoViewIfNeeded();
    const box = (await canvas.boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    expect(await page.locator('.figure-spot').textContent()).toMatch(/^\d[\d.]* µm$/);
    const before = await canvas.screenshot();
    await page.getByRole('button', { name: 'Turn left' }).focus();
    for (let i = 0; i < 4; i++) await page.keyboard.press('ArrowUp');
    await page.waitForTimeout(300);
    expect((await canvas.screenshot()).equals(before)).toBe(false);
  });
  it('changes units everywhere at once', async () => {
    await page.getByRole('radio', { name: 'inch' }).click();
    expect(await page.locator('.headline').textContent()).toMatch(/mil/);
    await page.getByRole('radio', { name: 'metric' }).click();
    expect(await page.locator('.headline').textContent()).toMatch(/µm/);
  });
  it('stops within a moment when asked', async () => {
    await press('Settle the numbers first');
    await page.getByRole('progressbar').waitFor();
    await press('Stop');
    await page.getByRole('progressbar').waitFor({ state: 'detached', timeout: 3000 });
    expect(await page.getByText('copper laid down').isVisible()).toBe(true);
  });
});

describe.each([
  ['light', SIZES[0]!],
  ['dark', SIZES[0]!],
  ['light', SIZES[1]!],
  ['dark', SIZES[1]!],
] as const)('in the %s, %o', (colorScheme, size) => {
  const visit = async (what: 'jobs' | 'new' | 'job' | 'card') => {
    await page.emulateMedia({ colorScheme });
    await page.setViewportSize(size);
    const job = /#\/job\/[^/]+/.exec(page.url())?.[0] ?? known;
    known = job;
    const hash = { jobs: '#/', new: '#/new', job, card: `${job}/card` }[what];
    await page.evaluate(`window.location.hash = ${JSON.stringify(hash)}`);
    await page
      .locator({ jobs: '.jobs li', new: '.question', job: '.number', card: '.card-host' }[what])
      .first()
      .waitFor();
  };
  it.each(['job', 'card', 'new', 'jobs'] as const)(
    'the %s page has no fault axe finds and fits the width',
    async (what) => {
      await visit(what);
      expect(await sideways()).toBeLessThanOrEqual(0);
      const axe = await new AxeBuilder({ page }).analyze();
      expect(axe.violations.map((v) => `${v.id}: ${v.nodes[0]?.html} ${v.nodes[0]?.failureSummary}`)).toEqual(
        [],
      );
    },
  );
  it('the opened entries fit too', async () => {
    await visit('job');
    for (const title of ['Part', 'Bath', 'Vessel', 'Anodes']) {
      await page.getByRole('button', { name: new RegExp(`^${title}`) }).click();
      expect(await sideways()).toBeLessThanOrEqual(0);
    }
    const axe = await new AxeBuilder({ page }).analyze();
    expect(axe.violations.map((v) => `${v.id}: ${v.nodes[0]?.html} ${v.nodes[0]?.failureSummary}`)).toEqual(
      [],
    );
    await page.getByRole('button', { name: /^Anodes/ }).click();
  });
});
let known = '';

describe('by keyboard alone', () => {
  const focused = () => page.evaluate<string>("document.activeElement?.textContent?.trim() ?? ''");
  /** Tabs until the focus is on something whose text matches. */
  const tabTo = async (what: RegExp, most = 60) => {
    for (let i = 0; i < most; i++) {
      await page.keyboard.press('Tab');
      if (what.test(await focused())) return;
    }
    throw new Error(`Nothing with ${what} takes the focus within ${most} tabs.`);
  };
  it('a job is made, changed, and the change taken back', async () => {
    await page.setViewportSize(SIZES[0]!);
    await page.goto(`${bench.address}/#/`);
    await page.reload();
    await page.getByRole('heading', { name: 'Bench book' }).waitFor();
    await tabTo(/^New job$/);
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'New job' }).waitFor();
    await tabTo(/^Hang it in a bath$/);
    await page.keyboard.press('Enter');
    await page.locator('.entries').waitFor();
    await tabTo(/^Aim/);
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Control+A');
    await page.keyboard.type('12');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: /at least 12 µm/ }).waitFor();
    await page.getByText('saved', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Undo' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: /at least 10 µm/ }).waitFor();
  });
  it('a wrong unit is told beside the field and not saved', async () => {
    const field = page.getByRole('textbox', { name: 'Thickness, at least' });
    await field.fill('12 V');
    await field.press('Enter');
    expect(await page.locator('.field-error').first().textContent()).toMatch(/um/);
    expect(await page.getByRole('button', { name: /at least 10 µm/ }).isVisible()).toBe(true);
  });
});

describe('a part file', () => {
  /** A cube of 20 file units, as ASCII STL. */
  const cube = () => {
    const corner = (i: number) => [i & 1 ? 20 : 0, i & 2 ? 20 : 0, i & 4 ? 20 : 0].join(' ');
    const faces = [
      [0, 2, 3, 1],
      [4, 5, 7, 6],
      [0, 1, 5, 4],
      [2, 6, 7, 3],
      [0, 4, 6, 2],
      [1, 3, 7, 5],
    ];
    const facet = (ring: number[]) =>
      `facet normal 0 0 0\nouter loop\n${ring.map((v) => `vertex ${corner(v)}`).join('\n')}\nendloop\nendfacet\n`;
    return `solid cube\n${faces.map(([a, b, c, d]) => facet([a!, b!, c!]) + facet([a!, c!, d!])).join('')}endsolid cube\n`;
  };
  const choose = async (name: string, text: string) => {
    const chooser = page.waitForEvent('filechooser');
    await press(/Take (a part|another) file/);
    await (await chooser).setFiles({ name, mimeType: 'model/stl', buffer: Buffer.from(text) });
  };
  it('is read, measured and told about; the unit can be put right', async () => {
    await page.goto(`${bench.address}/#/new`);
    await page.getByRole('radio', { name: 'as a file' }).click();
    await choose('cube.stl', cube());
    await page.getByText('24 cm²').waitFor();
    await page.getByRole('radio', { name: 'in', exact: true }).click();
    await page.getByText(/15480 cm²|15484 cm²|1\.548/).waitFor();
    await page.getByRole('radio', { name: 'mm', exact: true }).click();
    await page.getByText('24 cm²').waitFor();
  });
  it('that is broken is refused in words', async () => {
    await choose('half.stl', 'solid half\nfacet normal 0 0 0\nouter loop\nvertex 0 0');
    const note = page.locator('.note-stop').first();
    await note.waitFor();
    expect(await note.textContent()).not.toMatch(/\.js:\d|undefined|NaN/);
  });
  it('goes into a vessel on its own', async () => {
    await press('Hang it in a bath');
    await page.getByRole('button', { name: /cube\.stl/ }).waitFor();
    await page.getByText('The set-up in its vessel').waitFor();
    expect(await page.locator('.note-stop').count()).toBe(0);
  });
});

describe('the whole time', () => {
  it('no request left this machine', () => {
    expect(asked.length).toBeGreaterThan(20);
    const away = asked.filter(
      (url) => !/^(blob:)?http:\/\/127\.0\.0\.1:/.test(url) && !url.startsWith('data:'),
    );
    expect(away).toEqual([]);
  });
  it('the browser had nothing to complain about', () => {
    expect(complaints).toEqual([]);
  });
});
