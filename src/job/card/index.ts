/** The job card and its drawings: content, then renderings. Pure; imports units and the shapes of job and forecast. */
export { type BathWords, bathWords } from './bath.js';
export { hex, type Rgb, ramp, shade } from './colour.js';
export { buildCard, type Card, type CardInput, scaleOf } from './content.js';
export type { Drawing, Item } from './drawing.js';
export { cardHtml, cardMarkup } from './html.js';
export { legendDrawing } from './legend-drawing.js';
export { mapDrawing } from './map-drawing.js';
export { pictureSvg } from './picture.js';
export { THREE_QUARTER, type View } from './project.js';
export { bandOf, bands, roundStep, type Scale } from './scale.js';
export type { Entry, Setting } from './sections.js';
export { setupDrawing } from './setup-drawing.js';
export { CARD_STYLE, PAGE_STYLE } from './style.js';
export { escaped, toSvg } from './svg.js';
export * from './units.js';
