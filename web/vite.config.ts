// SPDX-License-Identifier: Apache-2.0
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import subsetFont from 'subset-font';
import { defineConfig, type Plugin, type UserConfig } from 'vite';

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

/// The licence keeps the typeface's name for the whole of it: a part bears another of the same length, and whose it is stays.
function renamed(font: Buffer): Buffer {
  const bytes = font.toString('latin1').replace(/(?<!")Andika/g, 'Letter').replace(/(?<!"\0)A\0n\0d\0i\0k\0a/g, 'L\0e\0t\0t\0e\0r');
  return Buffer.from(bytes, 'latin1');
}

/// Of that lettering what the page writes with: Latin letters, signs of measures, arrows; a tenth of the whole.
async function lettersOfThePage(): Promise<string> {
  const folder = fileURLToPath(new URL('node_modules/.lettering', import.meta.url));
  const ranges = [[0x20, 0x24f], [0x2000, 0x22ff]] as const;
  const letters = ranges.flatMap(([from, to]) => Array.from({ length: to - from + 1 }, (_, i) => String.fromCodePoint(from + i))).join('');
  mkdirSync(folder, { recursive: true });
  for (const weight of ['Regular', 'Bold']) {
    const whole = readFileSync(`${lettering}/Andika-${weight}.ttf`);
    const kept = await subsetFont(renamed(whole), letters, { targetFormat: 'woff2', keepFeatures: ['kern', 'mark', 'ccmp', 'tnum', 'lnum', 'cv10', 'cv39'] });
    writeFileSync(`${folder}/${weight.toLowerCase()}.woff2`, kept);
  }
  return folder;
}

export default defineConfig(async ({ isPreview }): Promise<UserConfig> => ({
  resolve: isPreview ? {} : { alias: { '@lettering': await lettersOfThePage() } },  // what is shown as built has its letters
  esbuild: { jsx: 'automatic', jsxImportSource: 'preact' },
  build: { target: 'es2020', modulePreload: { polyfill: false }, assetsInlineLimit: 0 },
  server: { host: '127.0.0.1', fs: { allow: ['..'] }, proxy },
  preview: { host: '127.0.0.1', proxy },
  plugins: [serviceWorker()],
}));
