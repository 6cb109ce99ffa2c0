import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { Fault } from '../../../shared/fault.ts';
import { findCook } from '../../cook/history/cook-history.ts';
import { exportCook } from '../../cook/portable/cook-export.ts';
import { openStore } from '../../store/sqlite.ts';
import { dataFolder, onlyWord, options } from '../command.ts';
import { progressBar } from '../progress.ts';

export async function run(args: string[], usage: string): Promise<void> {
  const { values, positionals } = options(usage, args, {
    format: { type: 'string' },
    data: { type: 'string' },
    keys: { type: 'boolean' },
  });
  const format = values.format ?? 'jsonl';
  if (format !== 'csv' && format !== 'jsonl')
    throw new Fault('invalid', `--format is csv or jsonl, not "${format}".`);
  const word = onlyWord(usage, positionals);
  const store = openStore(dataFolder(values.data));
  try {
    const id = /^\d+$/.test(word) ? Number(word) : Number.NaN;
    if (Number.isNaN(id))
      throw new Fault('invalid', `A cook is named by its number, not "${word}": the list of cooks shows it.`);
    findCook(store, id);
    const all = store.lineCount(id);
    const bar = progressBar('Exporting');
    await pipeline(
      Readable.from(
        watched(exportCook(store, id, format, { withKeys: values.keys === true }), (done) =>
          bar.show(done / (all + 1)),
        ),
      ),
      process.stdout,
      { end: false },
    );
    bar.done();
  } finally {
    store.close();
  }
}

/** The same pieces; `show` is called with how many have gone. */
function* watched(pieces: Iterable<string>, show: (done: number) => void): Generator<string> {
  let done = 0;
  for (const piece of pieces) {
    yield piece;
    show(++done);
  }
}
