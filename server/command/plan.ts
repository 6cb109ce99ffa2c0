import { readFile } from 'node:fs/promises';
import { text } from 'node:stream/consumers';
import { Fault, messageOf } from '../../shared/fault.ts';
import { planFromText } from '../evening/plan/planner.ts';
import { options } from './command.ts';

/** An evening as JSON in, from a file or stdin; its plan as JSON out. */
export async function run(args: string[], usage: string): Promise<void> {
  const { positionals } = options(usage, args, {});
  const [path] = positionals;
  if (positionals.length > 1) throw new Fault('invalid', `Use: peelside ${usage}`);
  const json =
    path === undefined || path === '-'
      ? await text(process.stdin)
      : await readFile(path, 'utf8').catch(unreadable(path));
  console.log(JSON.stringify(planFromText(json), null, 2));
}

const unreadable = (path: string) => (error: unknown) => {
  throw new Fault('not-found', `${path} can't be read (${messageOf(error)}): check its name.`);
};
