#!/usr/bin/env node
// The `peelside` command: runs what `npm start` or `npm test` built.
import { existsSync } from 'node:fs';

const main = new URL('../.build/server/main.js', import.meta.url);
if (!existsSync(main)) {
  console.error('peelside is not set up yet: run "npm start" or "npm run build" in its folder once.');
  process.exit(1);
}
await import(main.href);
