// SPDX-License-Identifier: Apache-2.0
//
// What vite.config.ts asks of this package, which tells no types of its own.
declare module 'subset-font' {
  interface Options {
    targetFormat: 'sfnt' | 'woff' | 'woff2';
    keepFeatures: string[];
  }
  export default function subsetFont(font: Buffer, letters: string, options: Options): Promise<Buffer>;
}
