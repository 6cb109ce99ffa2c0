import { fileURLToPath } from 'node:url';
import { firstLoad } from '../../support/page/first-load.ts';
import type { Bench } from '../bench.ts';

/** What a tablet loads to show the first screen. `npm run bench` has built it. */
export const bundleBench: Bench = {
  name: 'bundle',
  run() {
    const { bytes } = firstLoad(fileURLToPath(new URL('../../web/', import.meta.url)));
    return [
      {
        name: 'page, JavaScript and CSS of the first screen, compressed',
        value: bytes / 1000,
        unit: 'kB',
        budget: { most: 75 },
      },
    ];
  },
};
