import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import type { Bench } from './bench.ts';

const FILES = ['main.js', 'main.css'];

/** What a tablet loads to show the page, as it goes over the wire. `npm run bench` has built it. */
export const bundleBench: Bench = {
  name: 'bundle',
  run() {
    const folder = new URL('../web/', import.meta.url);
    const sizes = FILES.map((file) => gzipSync(readFileSync(new URL(file, folder)), { level: 9 }).length);
    return [
      {
        name: 'page, JavaScript and CSS, compressed',
        value: sizes.reduce((a, b) => a + b, 0) / 1000,
        unit: 'kB',
        budget: { most: 70 },
      },
      { name: 'page, JavaScript alone, compressed', value: (sizes[0] ?? 0) / 1000, unit: 'kB' },
    ];
  },
};
