// SPDX-License-Identifier: Apache-2.0
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { defineConfig, type Plugin } from 'vite';

/// Writes sw.js beside index.html with the names of everything that was built, so that the page opens without a network.
function serviceWorker(): Plugin {
  return {
    name: 'service-worker',
    apply: 'build',
    generateBundle(_options, bundle) {
      const names = Object.keys(bundle)
        .filter((name) => !name.endsWith('.map') && name !== 'index.html')
        .sort();
      const hash = createHash('sha256');
      for (const name of names) hash.update(name);
      const index = bundle['index.html'];
      if (index?.type === 'asset') hash.update(index.source);
      const source = readFileSync(new URL('src/sw.js', import.meta.url), 'utf8')
        .replace('__VERSION__', hash.digest('hex').slice(0, 12))
        .replace('__ASSETS__', JSON.stringify(['/', ...readdirSync(new URL('public', import.meta.url)).map((name) => '/' + name), ...names.map((name) => '/' + name)]));
      this.emitFile({ type: 'asset', fileName: 'sw.js', source });
    },
  };
}

// The planner that answers while the page is worked on; it takes only requests of its own pages.
const server = process.env['GARTHWRIGHT_URL'] ?? 'http://127.0.0.1:8080';
const planner = { target: server, changeOrigin: true, headers: { Origin: server } };
const proxy = { '/api': planner, '/healthz': planner, '/manual': planner };

// The folder of the lettering that page and sheets share (Debian: fonts-sil-andika).
const lettering = process.env['GARTHWRIGHT_LETTERING'] ?? '/usr/share/fonts/truetype/andika';

export default defineConfig({
  resolve: { alias: { '@lettering': lettering } },
  esbuild: { jsx: 'automatic', jsxImportSource: 'preact' },
  build: { target: 'es2020', modulePreload: { polyfill: false }, assetsInlineLimit: 0 },
  server: { host: '127.0.0.1', fs: { allow: ['..', lettering] }, proxy },
  preview: { host: '127.0.0.1', proxy },
  plugins: [serviceWorker()],
});
