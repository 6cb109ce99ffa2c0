import { restore } from '../../store/repair/copy.ts';
import { leftOutOf } from '../../store/repair/integrity.ts';
import { dataFolder, onlyWord, options } from '../command.ts';
import { progressBar } from '../progress.ts';

/** Puts a backup in the place of the data folder's database; what was there is set aside. */
export async function run(args: string[], usage: string): Promise<void> {
  const { values, positionals } = options(usage, args, { data: { type: 'string' } });
  const file = onlyWord(usage, positionals);
  const bar = progressBar('Restoring');
  const { replaced, leftOut: notOurs } = await restore(dataFolder(values.data), file, Date.now(), bar.show);
  bar.done();
  const leftOut = leftOutOf(dataFolder(values.data));
  console.log(`${file} is restored.${replaced === null ? '' : ` What was there before is ${replaced}.`}`);
  if (notOurs.odd !== null)
    console.log(
      `It was not as peelside makes a backup (${notOurs.odd}): what it holds was put into fresh tables, where ${notOurs.rows} ${notOurs.rows === 1 ? 'row' : 'rows'} had no place.`,
    );
  if (leftOut !== null) console.log(`Restored without ${leftOut}`);
}
