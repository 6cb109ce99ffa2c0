import { listCooks } from '../../cook/history/cook-history.ts';
import { openStore } from '../../store/sqlite.ts';
import { dataFolder, options } from '../command.ts';

/** Prints a line a cook: the number that `export` takes, when it began, how long it was, its pizzas, its name. */
export async function run(args: string[], usage: string): Promise<void> {
  const { values } = options(usage, args, { data: { type: 'string' }, json: { type: 'boolean' } });
  const store = openStore(dataFolder(values.data));
  try {
    const cooks = await listCooks(store);
    if (values.json) {
      const rows = cooks.map(({ picture: _picture, ...row }) => row);
      console.log(JSON.stringify({ cooks: rows }));
      return;
    }
    if (cooks.length === 0) console.log('There is no cook yet.');
    for (const { id, startedAt, seconds, pizzas, name, rehearsal } of cooks)
      console.log(
        [
          String(id).padStart(5),
          localTime(startedAt),
          duration(seconds),
          `${pizzas} ${pizzas === 1 ? 'pizza' : 'pizzas'}`.padEnd(9),
          `${printable(name)}${rehearsal ? ' (rehearsal)' : ''}`,
        ]
          .join('  ')
          .trimEnd(),
      );
  } finally {
    store.close();
  }
}

/** Names come from people and files: control characters must not reach the terminal. */
const printable = (text: string): string => text.replaceAll(/[\p{Cc}\p{Cf}]/gu, ' ');

const two = (value: number): string => String(value).padStart(2, '0');

/** Date and time of day of this machine's zone. */
function localTime(iso: string): string {
  const at = new Date(iso);
  const date = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
  return `${date} ${two(at.getHours())}:${two(at.getMinutes())}`;
}

const duration = (seconds: number): string => {
  const minutes = Math.round(seconds / 60);
  return `${Math.floor(minutes / 60)} h ${two(minutes % 60)} min`.padStart(10);
};
