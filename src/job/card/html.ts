import type { Problem } from '../../units/index.js';
import type { Card } from './content.js';
import type { Entry, Setting } from './sections.js';
import { CARD_STYLE, PAGE_STYLE } from './style.js';
import { escaped, toSvg } from './svg.js';

const setting = ({ label, value, note }: Setting): string =>
  `<div class="card-setting"><dt>${escaped(label)}</dt><dd class="card-big">${escaped(value.number)}<small>${escaped(
    value.unit,
  )}</small></dd><dd class="card-note">${escaped(note)}</dd></div>`;

const entries = (list: Entry[]): string =>
  `<dl class="card-entries">${list
    .map((e) => `<dt>${escaped(e.label)}</dt><dd>${escaped(e.value)}</dd>`)
    .join('')}</dl>`;

const problems = (list: Problem[]): string =>
  `<ul>${list
    .map((p) => `<li>${escaped(p.message)}${p.hint ? ` <em>${escaped(p.hint)}</em>` : ''}</li>`)
    .join('')}</ul>`;

function head(card: Card): string {
  const title = `<header><h1>${escaped(card.title)}</h1><p class="card-sub">${escaped(card.subtitle)}</p></header>`;
  if (card.refusals.length)
    return `${title}<section class="card-refused"><h2>Do not run this job</h2>${problems(card.refusals)}</section>`;
  const many = card.settings.length > 4 ? ' card-many' : '';
  return (
    `${title}<dl class="card-settings${many}">${card.settings.map(setting).join('')}</dl>` +
    `<p class="card-stop">${escaped(card.stop)}</p>`
  );
}

const watch = (card: Card): string =>
  `<section><h2>What to watch</h2><table><thead><tr><th scope="col">After</th><th scope="col">Expected volts</th>` +
  `<th scope="col">Seen</th></tr></thead><tbody>${card.watch.rows
    .map(
      (r) =>
        `<tr><th scope="row">${escaped(r.at)}</th><td>${escaped(r.expected)}</td><td class="card-write">V</td></tr>`,
    )
    .join('')}</tbody></table><ul class="card-remarks">${card.watch.remarks
    .map((r) => `<li>${escaped(r)}</li>`)
    .join('')}</ul></section>`;

const cautions = (card: Card): string =>
  `<section><h2>Cautions</h2><div class="card-cautions">${card.cautions
    .map((c) => `<p><strong>${escaped(c.title)}.</strong> ${escaped(c.text)}</p>`)
    .join('')}</div></section>`;

function second(card: Card): string {
  const { setup, front, back, legend } = card.drawings;
  const figure = (drawing: typeof front, id: string) =>
    drawing ? `<figure>${toSvg(drawing, id)}</figure>` : '';
  const warnings = card.warnings.length
    ? `<section class="card-warnings"><h2>To know before you start</h2>${problems(card.warnings)}</section>`
    : '';
  return (
    `<section class="card-pair">${figure(setup, 'card-setup')}<div><h2>Set-up</h2>${entries(card.setup)}</div></section>` +
    `<section><h2>Where the deposit goes</h2><p>${escaped(card.significant)}</p>` +
    `<div class="card-pair">${figure(front, 'card-front')}${figure(back, 'card-back')}</div>` +
    `<div class="card-legend">${legend ? toSvg(legend, 'card-legend') : ''}</div><p class="card-marks">${card.marks
      .map((m) => `<span><b>${escaped(m.label)}</b>${escaped(m.value)}</span>`)
      .join('')}</p></section>` +
    `${warnings}<section><h2>Write down</h2><div class="card-blanks">${card.blanks
      .map((b) => `<div><b>${escaped(b.label)}</b><span>${escaped(b.value)}</span></div>`)
      .join('')}</div></section>`
  );
}

/** The two sheets as markup without a document around them; styled by `CARD_STYLE`. */
export const cardMarkup = (card: Card): string =>
  `<article class="card" aria-label="Job card"><div class="card-sheet">${head(card)}${
    card.refusals.length ? '' : watch(card)
  }${cautions(card)}<p class="card-colophon">${escaped(card.colophon)}</p></div>` +
  `<div class="card-sheet">${second(card)}</div></article>`;

/** A whole document that stands alone and prints on A5. */
export const cardHtml = (card: Card): string =>
  `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">` +
  `<title>${escaped(card.title)}: job card</title><style>${PAGE_STYLE}${CARD_STYLE}</style></head>` +
  `<body>${cardMarkup(card)}</body></html>`;
