import { createRequire } from 'node:module';
import PDFDocument from 'pdfkit';
import type { Card, Drawing, Item } from '../job/card/index.js';

/** The job card as PDF: A5, two sheets, the same content and order as the HTML card. Lengths below are in millimetres. */
type Pdf = InstanceType<typeof PDFDocument>;

const MM = 72 / 25.4;
const PAGE = { width: 148, height: 210, left: 12, right: 12, top: 9, bottom: 7 };
const WIDTH = PAGE.width - PAGE.left - PAGE.right;
const [INK, FAINT, RULE, ALERT] = ['#1d2523', '#5c6763', '#c4ccc8', '#9c2f10'];
const files = createRequire(import.meta.url);
const FONTS = {
  text: '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-400-normal.woff',
  strong: '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-700-normal.woff',
  title: '@fontsource/literata/files/literata-latin-600-normal.woff',
};
type Face = keyof typeof FONTS;

/** Sets the card and resolves with the bytes of the file. */
export async function cardPdf(card: Card): Promise<Buffer> {
  const pdf = new PDFDocument({
    size: [PAGE.width * MM, PAGE.height * MM],
    margin: 0,
    autoFirstPage: false,
    info: { Title: `${card.title}: job card`, Creator: 'platewright' },
    lang: 'en',
  });
  const chunks: Buffer[] = [];
  pdf.on('data', (chunk: Buffer) => chunks.push(chunk));
  const finished = new Promise<void>((resolve, reject) => {
    pdf.on('end', resolve);
    pdf.on('error', reject);
  });
  for (const [name, path] of Object.entries(FONTS)) pdf.registerFont(name, files.resolve(path));
  const pen = new Pen(pdf);
  first(pen, card);
  second(pen, card);
  pdf.end();
  await finished;
  return Buffer.concat(chunks);
}

/** Writes down the page and turns it when it is full. */
class Pen {
  y: number = PAGE.top;
  constructor(readonly pdf: Pdf) {}

  sheet(): void {
    this.pdf.addPage();
    this.y = PAGE.top;
  }

  /** Turns the page unless `height` more millimetres fit. */
  need(height: number): void {
    if (this.y + height > PAGE.height - PAGE.bottom) this.sheet();
  }

  height(words: string, face: Face, size: number, width: number): number {
    return (
      this.pdf
        .font(face)
        .fontSize(size)
        .heightOfString(words, { width: width * MM, lineGap: size * 0.1 }) / MM
    );
  }

  /** Words at a place; returns the height they take. */
  put(words: string, face: Face, size: number, x: number, y: number, width: number, colour = INK): number {
    this.pdf
      .font(face)
      .fontSize(size)
      .fillColor(colour)
      .text(words, x * MM, y * MM, { width: width * MM, lineGap: size * 0.1 });
    return this.height(words, face, size, width);
  }

  /** A paragraph at the pen, then `gap` of air. */
  say(words: string, face: Face, size: number, gap: number, colour = INK): void {
    this.need(this.height(words, face, size, WIDTH));
    this.y += this.put(words, face, size, PAGE.left, this.y, WIDTH, colour) + gap;
  }

  rule(x0: number, x1: number, y: number, width = 0.2, colour = RULE): void {
    this.pdf
      .moveTo(x0 * MM, y * MM)
      .lineTo(x1 * MM, y * MM)
      .lineWidth(width * MM)
      .strokeColor(colour)
      .stroke();
  }
}

function first(pen: Pen, card: Card): void {
  pen.sheet();
  pen.say(card.title, 'title', 17, 0.6);
  pen.say(card.subtitle, 'text', 9, 3, FAINT);
  if (card.refusals.length) {
    pen.rule(PAGE.left, PAGE.width - PAGE.right, pen.y, 0.7, ALERT);
    pen.y += 3;
    pen.say('Do not run this job', 'title', 17, 2, ALERT);
    for (const p of card.refusals) pen.say([p.message, p.hint].filter(Boolean).join(' '), 'text', 10, 2);
  } else {
    settings(pen, card);
    pen.say(card.stop, 'strong', 10, 3);
    watch(pen, card);
  }
  heading(pen, 'Cautions');
  columns(pen, card.cautions);
  const foot = pen.height(card.colophon, 'text', 7, WIDTH);
  const y = PAGE.height - PAGE.bottom - foot;
  pen.need(foot + 1.6);
  pen.rule(PAGE.left, PAGE.width - PAGE.right, y - 1.4);
  pen.put(card.colophon, 'text', 7, PAGE.left, y, WIDTH, FAINT);
}

const heading = (pen: Pen, words: string): void => {
  pen.need(12);
  pen.say(words, 'title', 9, 0.8);
};

/** The numbers, two a row, as large as the column lets them be. */
function settings(pen: Pen, card: Card): void {
  const column = WIDTH / 2;
  const many = card.settings.length > 4;
  const row = many ? 17 : 27;
  pen.rule(PAGE.left, PAGE.width - PAGE.right, pen.y, 0.7, INK);
  card.settings.forEach(({ label, value, note }, i) => {
    if (i % 2 === 0) pen.need(row);
    const x = PAGE.left + (i % 2) * column + (i % 2 === 1 ? 4 : 0);
    const y = pen.y + 1.4;
    const room = column - 6;
    pen.put(label, 'text', 9, x, y, room);
    const big = many ? 22 : 40;
    const width = (size: number) => pen.pdf.font('strong').fontSize(size).widthOfString(value.number) / MM;
    const units =
      pen.pdf
        .font('strong')
        .fontSize(big * 0.42)
        .widthOfString(value.unit) /
        MM +
      2;
    const size = Math.min(big, (big * (room - units)) / width(big));
    const base = y + (many ? 10.5 : 17.5);
    baseline(pen, value.number, 'strong', size, x, base);
    baseline(pen, value.unit, 'strong', big * 0.42, x + width(size) + 1.5, base);
    pen.put(note, 'text', 8.4, x, base + (many ? 1.4 : 2.2), room, FAINT);
    if (i % 2 === 1 || i === card.settings.length - 1) {
      pen.y += row;
      const last = i >= card.settings.length - 2;
      pen.rule(PAGE.left, PAGE.width - PAGE.right, pen.y, 0.25, last ? INK : RULE);
    }
  });
  pen.y += 3;
}

/** One line with its feet on `y`. */
function baseline(pen: Pen, words: string, face: Face, size: number, x: number, y: number, align = 0): void {
  const width = pen.pdf.font(face).fontSize(size).widthOfString(words);
  pen.pdf
    .fillColor(INK)
    .text(words, x * MM - align * width, y * MM, { baseline: 'alphabetic', lineBreak: false });
}

function watch(pen: Pen, card: Card): void {
  heading(pen, 'What to watch');
  const columns = [0, 0.34, 0.66].map((share) => PAGE.left + share * WIDTH);
  const line = (cells: string[], face: Face) => {
    cells.forEach((cell, k) => {
      pen.put(cell, k === 0 ? 'strong' : face, 9, columns[k]!, pen.y + 0.9, WIDTH / 3 - 2);
    });
    pen.y += 6;
    pen.rule(PAGE.left, PAGE.width - PAGE.right, pen.y);
  };
  line(['After', 'Expected volts', 'Seen'], 'strong');
  for (const row of card.watch.rows) {
    line([row.at, row.expected, ''], 'text');
    pen.rule(columns[2]!, PAGE.width - PAGE.right, pen.y, 0.25, INK);
  }
  pen.y += 1.4;
  for (const remark of card.watch.remarks) pen.say(remark, 'text', 7.4, 0.2);
  pen.y += 2.4;
}

/** Short texts in two columns, none torn apart. */
function columns(pen: Pen, texts: Card['cautions']): void {
  const width = WIDTH / 2 - 2.5;
  const lead = (title: string) => (title ? `${title}. ` : '');
  const words = texts.map((c) => lead(c.title) + c.text);
  const heights = words.map((w) => pen.height(w, 'text', 7.4, width) + 1.2);
  const half = heights.reduce((a, b) => a + b, 0) / 2;
  let [x, y, tallest] = [PAGE.left, pen.y, 0];
  pen.need(half);
  [y, tallest] = [pen.y, pen.y];
  texts.forEach((caution, i) => {
    if (x === PAGE.left && y - pen.y + heights[i]! / 2 > half) [x, y] = [PAGE.left + width + 5, pen.y];
    pen.pdf
      .font('strong')
      .fontSize(7.4)
      .fillColor(INK)
      .text(lead(caution.title), x * MM, y * MM, { width: width * MM, lineGap: 0.74, continued: true })
      .font('text')
      .text(caution.text, { width: width * MM, lineGap: 0.74 });
    y += heights[i]!;
    tallest = Math.max(tallest, y);
  });
  pen.y = tallest + 1;
}

function second(pen: Pen, card: Card): void {
  pen.sheet();
  const { setup, front, back, legend } = card.drawings;
  const half = WIDTH / 2;
  const top = pen.y;
  if (setup) draw(pen, setup, PAGE.left, top);
  const left = setup ? PAGE.left + half + 2 : PAGE.left;
  pen.put('Set-up', 'title', 9, left, top, half);
  let y = top + 5.5;
  for (const entry of card.setup) {
    pen.put(entry.label, 'strong', 8.4, left, y, 20);
    y += pen.put(entry.value, 'text', 8.4, left + 21, y, PAGE.width - PAGE.right - left - 21) + 0.8;
  }
  pen.y = Math.max(y, top + (setup?.height ?? 0)) + 3;
  heading(pen, 'Where the deposit goes');
  pen.say(card.significant, 'text', 8.4, 1.5);
  if (front || back) {
    const tall = Math.max(front?.height ?? 0, back?.height ?? 0);
    pen.need(tall);
    if (front) draw(pen, front, PAGE.left, pen.y);
    if (back) draw(pen, back, PAGE.left + half + 2, pen.y);
    pen.y += tall + 1;
  }
  if (legend) {
    pen.need(legend.height);
    draw(pen, legend, PAGE.left, pen.y);
    pen.y += legend.height;
  }
  if (card.marks.length)
    pen.say(card.marks.map((m) => `${m.label}  ${m.value}`).join('      '), 'text', 8.4, 3);
  if (card.warnings.length) {
    heading(pen, 'To know before you start');
    columns(
      pen,
      card.warnings.map((w) => ({ title: '', text: [w.message, w.hint].filter(Boolean).join(' ') })),
    );
    pen.y += 1;
  }
  blanks(pen, card);
}

function blanks(pen: Pen, card: Card): void {
  heading(pen, 'Write down');
  const column = WIDTH / 3;
  card.blanks.forEach((blank, i) => {
    if (i % 3 === 0) pen.need(7);
    const x = PAGE.left + (i % 3) * column;
    const end = x + column - (i % 3 === 2 ? 0 : 4);
    pen.put(blank.label, 'text', 7.6, x, pen.y + 2.6, column - 10);
    baseline(pen, blank.value, 'text', 7.6, end, pen.y + 5.4, 1);
    pen.rule(x, end, pen.y + 6.3, 0.25, FAINT);
    if (i % 3 === 2) pen.y += 7;
  });
}

/** A flat drawing with its top left corner at a place. */
function draw(pen: Pen, drawing: Drawing, x: number, y: number): void {
  const { pdf } = pen;
  pdf.save();
  pdf.translate(x * MM, y * MM);
  pdf.scale(MM);
  for (const item of drawing.items) stroke(pdf, item);
  pdf.restore();
}

function stroke(pdf: Pdf, item: Item): void {
  if (item.kind === 'text') {
    pdf.font(item.bold ? 'strong' : 'text').fontSize(item.size);
    const width = pdf.widthOfString(item.text);
    const shift = { start: 0, middle: width / 2, end: width }[item.anchor];
    pdf
      .fillColor(item.colour ?? INK)
      .text(item.text, item.x - shift, item.y, { baseline: 'alphabetic', lineBreak: false });
    return;
  }
  pdf.moveTo(item.points[0]!, item.points[1]!);
  for (let i = 2; i < item.points.length; i += 2) pdf.lineTo(item.points[i]!, item.points[i + 1]!);
  if (item.kind === 'line') {
    if (item.closed) pdf.closePath();
    pdf.lineWidth(item.width).lineCap('round').strokeColor(item.stroke);
    if (item.dash) pdf.dash(item.dash, { space: item.dash });
    pdf.stroke();
    if (item.dash) pdf.undash();
    return;
  }
  pdf.closePath();
  if (typeof item.fill !== 'string') pattern(pdf, item.points, item.fill.pattern);
  else if (item.seam) pdf.lineWidth(0.12).lineJoin('round').fillAndStroke(item.fill, item.fill);
  else pdf.fill(item.fill);
}

/** The patterns of the screen drawn inside the current path: crossed strokes where it burns, dots where it is bare. */
function pattern(pdf: Pdf, points: number[], kind: 'burnt' | 'bare'): void {
  const xs = points.filter((_, i) => i % 2 === 0);
  const ys = points.filter((_, i) => i % 2 === 1);
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  pdf.save();
  pdf.clip();
  if (kind === 'burnt') {
    for (const [width, colour] of [
      [0.7, '#ffffff'],
      [0.35, INK],
    ] as const) {
      for (const way of [1, -1]) {
        const [low, high] = way === 1 ? [x0 - y1, x1 - y0] : [x0 + y0, x1 + y1];
        for (let c = Math.floor(low / 2) * 2; c <= high; c += 2)
          pdf.moveTo(c + way * y0, y0).lineTo(c + way * y1, y1);
      }
      pdf.lineWidth(width).strokeColor(colour).stroke();
    }
  } else {
    for (let x = Math.floor(x0 / 1.6) * 1.6; x <= x1 + 0.4; x += 1.6)
      for (let y = Math.floor(y0 / 1.6) * 1.6; y <= y1 + 0.4; y += 1.6) pdf.circle(x, y, 0.38);
    pdf.fill(INK);
  }
  pdf.restore();
}
