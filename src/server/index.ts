/** The local server: pages, library and bench book over HTTP, bound to this machine. A thin door: no physics here. */
export { type AppOptions, buildApp } from './app.js';
export { cardPdf } from './card-pdf.js';
