import { once } from 'node:events';
import { createReadStream, statSync } from 'node:fs';
import { Fault, messageOf } from '../../../shared/fault.ts';
import { importCook } from '../../cook/portable/cook-import.ts';
import { openStore } from '../../store/sqlite.ts';
import { dataFolder, onlyWord, options } from '../command.ts';
import { progressBar } from '../progress.ts';

export async function run(args: string[], usage: string): Promise<void> {
  const { values, positionals } = options(usage, args, { data: { type: 'string' } });
  const path = onlyWord(usage, positionals);
  const stream = createReadStream(path);
  await once(stream, 'open').catch((error: unknown) => {
    throw new Fault('not-found', `${path} can't be read (${messageOf(error)}): check its name.`);
  });
  const store = openStore(dataFolder(values.data));
  const bar = progressBar('Importing');
  stream.on('data', () => bar.show(stream.bytesRead / Math.max(1, statSync(path).size)));
  try {
    const { id, lines, bad, skipped, taught } = await importCook(store, stream);
    bar.done();
    for (const { number, why } of skipped) console.error(`line ${number} was skipped: ${why}.`);
    if (bad > skipped.length) console.error(`${bad - skipped.length} more lines were skipped.`);
    await taught;
    console.log(`Cook ${id}: ${lines} lines.`);
  } finally {
    store.close();
  }
}
