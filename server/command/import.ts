import { once } from 'node:events';
import { createReadStream } from 'node:fs';
import { createInterface } from 'node:readline';
import { Fault } from '../../shared/fault.ts';
import { importCook } from '../cook/portable.ts';
import { openStore } from '../store/sqlite.ts';
import { dataFolder, onlyWord, options } from './command.ts';

export async function run(args: string[], usage: string): Promise<void> {
  const { values, positionals } = options(usage, args, { data: { type: 'string' } });
  const path = onlyWord(usage, positionals);
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
