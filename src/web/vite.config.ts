import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** The pages, built into dist/web and served from there; nothing is fetched from elsewhere and nothing is inlined. */
export default defineConfig({
  root: here('.'),
  base: './',
  plugins: [react()],
  worker: { format: 'es' },
  build: {
    outDir: here('../../dist/web'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 1600,
    modulePreload: { polyfill: false },
  },
});
