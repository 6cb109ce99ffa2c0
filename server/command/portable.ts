import { createReadStream } from 'node:fs';
import { pipeline } from 'node:stream/promises';
import { createInterface } from 'node:readline';
import { Readable } from 'node:stream';
import { once } from 'node:events';
import { Fault } from '../../shared/fault.ts';
import { findCook } from '../cook/history.ts';
import { exportCook, importCook } from '../cook/portable.ts';
import { openStore } from '../store/sqlite.ts';
import { dataFolder, onlyWord, options, type Command } from './command.ts';

const exportUsage = 'export COOK [--format csv|jsonl] [--data DIR]';
const importUsage = 'import FILE [--data DIR]';

async function runExport(args: string[]): Promise<void> {
  const { values, positionals } = options(exportUsage, args, {
    format: { type: 'string' },
    data: { type: 'string' },
  });
  const format = values.format ?? 'jsonl';
  if (format !== 'csv' && format !== 'jsonl')
    throw new Fault('invalid', `--format is csv or jsonl, not "${format}".`);
  const word = onlyWord(exportUsage, positionals);
  const store = openStore(dataFolder(values.data));
  try {
    const id = /^\d+$/.test(word) ? Number(word) : Number.NaN;
    if (Number.isNaN(id))
      throw new Fault('invalid', `A cook is named by its number, not "${word}": the list of cooks shows it.`);
    findCook(store, id);
    await pipeline(Readable.from(exportCook(store, id, format)), process.stdout, { end: false });
  } finally {
    store.close();
  }
}

async function runImport(args: string[]): Promise<void> {
  const { values, positionals } = options(importUsage, args, { data: { type: 'string' } });
  const path = onlyWord(importUsage, positionals);
  const stream = createReadStream(path, { encoding: 'utf8' });
  await once(stream, 'open').catch((error: unknown) => {
    throw new Fault(
      'not-found',
      `${path} can't be read (${error instanceof Error ? error.message : String(error)}): check its name.`,
    );
  });
  const store = openStore(dataFolder(values.data));
  try {
    const { id, lines, skipped } = await importCook(
      store,
      createInterface({ input: stream, crlfDelay: Infinity }),
    );
    for (const { number, why } of skipped) console.error(`line ${number} was skipped: ${why}.`);
    console.log(`Cook ${id}: ${lines} lines.`);
  } finally {
    store.close();
  }
}

export const exportCommand: Command = {
  name: 'export',
  usage: exportUsage,
  does: 'a kept cook out, to stdout',
  run: runExport,
};
export const importCommand: Command = {
  name: 'import',
  usage: importUsage,
  does: 'a cook or recording in',
  run: runImport,
};
