/** Style of the job card: A5 upright, numbers legible at a metre. Plain CSS, no outside font or picture needed. */
export const CARD_STYLE = `
.card { --ink: #1d2523; --faint: #5c6763; --rule: #c4ccc8; --alert: #9c2f10;
  color: var(--ink); background: #fff; font: 400 8.6pt/1.38 'Atkinson Hyperlegible', 'Liberation Sans', Arial, sans-serif;
  font-variant-numeric: lining-nums tabular-nums; }
.card * { box-sizing: border-box; margin: 0; padding: 0; }
.card-sheet { width: 148mm; min-height: 210mm; padding: 10mm 12mm 8mm; margin: 0 auto; background: #fff; display: flex; flex-direction: column; gap: 3.2mm; }
.card h1 { font: 600 17pt/1.15 'Literata', 'Liberation Serif', Georgia, serif; }
.card h2 { font: 600 9pt/1.2 'Literata', 'Liberation Serif', Georgia, serif; margin-bottom: 1.4mm; }
.card-sub { color: var(--faint); font-size: 9pt; margin-top: 1mm; }
.card-settings { display: grid; grid-template-columns: 1fr 1fr; border-top: 0.7mm solid var(--ink); border-bottom: 0.25mm solid var(--ink); }
.card-setting { padding: 2mm 0 2.2mm; border-top: 0.2mm solid var(--rule); }
.card-setting:nth-child(-n+2) { border-top: 0; }
.card-setting:nth-child(even) { padding-left: 4mm; border-left: 0.2mm solid var(--rule); }
.card-setting dt { font-size: 9pt; }
.card-big { font-size: 40pt; line-height: 1.02; font-weight: 700; letter-spacing: -0.01em; white-space: nowrap; }
.card-big small { font-size: 17pt; font-weight: 600; letter-spacing: 0; margin-left: 0.15em; }
.card-note { color: var(--faint); font-size: 8.4pt; }
.card-many .card-big { font-size: 22pt; } .card-many .card-big small { font-size: 12pt; }
.card-stop { font-size: 10pt; line-height: 1.35; font-weight: 600; }
.card-refused { border: 0.7mm solid var(--alert); padding: 4mm; }
.card-refused h2 { font-size: 17pt; color: var(--alert); }
.card-refused li { margin-top: 2mm; font-size: 10pt; }
.card ul { list-style: none; }
.card-cautions { columns: 2; column-gap: 5mm; font-size: 7.4pt; line-height: 1.3; }
.card-cautions p { break-inside: avoid; margin-bottom: 1.3mm; }
.card table { border-collapse: collapse; width: 100%; font-size: 9pt; }
.card th { text-align: left; font-weight: 600; }
.card th, .card td { padding: 0.9mm 2mm 0.9mm 0; border-bottom: 0.2mm solid var(--rule); }
.card td.card-write { width: 34%; border-bottom-color: var(--ink); color: var(--faint); text-align: right; }
.card-remarks { font-size: 7.4pt; margin-top: 1.2mm; line-height: 1.3; }
.card-pair { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: 0 4mm; align-items: start; }
.card-pair figure svg, .card-legend svg { max-width: 100%; height: auto; display: block; }
.card-entries { display: grid; grid-template-columns: max-content 1fr; gap: 0.7mm 3mm; align-content: start; }
.card-entries dt { font-weight: 600; } .card-entries dd { min-width: 0; }
.card-blanks { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 0 5mm; font-size: 7.6pt; }
.card-blanks div { display: flex; gap: 2mm; align-items: end; border-bottom: 0.25mm solid var(--faint); height: 6.2mm; }
.card-blanks b { font-weight: 400; white-space: nowrap; } .card-blanks span { margin-left: auto; color: var(--faint); }
.card-marks { display: flex; flex-wrap: wrap; gap: 0 6mm; } .card-marks b { font-weight: 700; margin-right: 1.5mm; }
.card-warnings { font-size: 7.4pt; line-height: 1.3; } .card-warnings ul { columns: 2; column-gap: 5mm; } .card-warnings li { margin-bottom: 0.8mm; break-inside: avoid; }
.card-colophon { margin-top: auto; color: var(--faint); font-size: 7pt; border-top: 0.2mm solid var(--rule); padding-top: 1.4mm; }
@media screen { .card-sheet + .card-sheet { border-top: 1px dashed var(--rule); } }
@media screen and (max-width: 600px) {
  .card-sheet { width: auto; min-height: 0; padding: 5mm 4mm; }
  .card-pair, .card-blanks, .card-settings { grid-template-columns: 1fr; } .card-cautions { columns: 1; }
  .card-setting:nth-child(even) { padding-left: 0; border-left: 0; } .card-setting:nth-child(2) { border-top: 0.2mm solid var(--rule); }
}
@media print { .card-sheet { break-after: page; width: 100%; min-height: 0; padding: 0; } .card-sheet:last-child { break-after: auto; } .card { background: none; } }
`;

/** Page size and margins; rules for a whole document, so kept apart from what may live inside another page. */
export const PAGE_STYLE =
  '@page { size: A5 portrait; margin: 7mm 11mm; } body { margin: 0; background: #fff; }';
