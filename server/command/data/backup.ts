import { backUp } from '../../store/repair/copy.ts';
import { dataFolder, onlyWord, options } from '../command.ts';
import { progressBar } from '../progress.ts';

/** Copies the data folder's database into one file, also while a server runs. */
export async function run(args: string[], usage: string): Promise<void> {
  const { values, positionals } = options(usage, args, { data: { type: 'string' } });
  const file = onlyWord(usage, positionals);
  const bar = progressBar('Backing up');
  const cooks = await backUp(dataFolder(values.data), file, bar.show);
  bar.done();
  console.log(`${cooks} ${cooks === 1 ? 'cook is' : 'cooks are'} backed up in ${file}.`);
}
