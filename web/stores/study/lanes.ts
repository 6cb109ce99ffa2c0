import type { CookDetail, CookMark } from '../../../shared/api/api.ts';
import { ventPosition } from '../../../shared/evening/vent-words.ts';
import type { VentPosition } from '../../../shared/evening/vents.ts';
import type { Lane, LaneItem } from '../../lib/plot/scene.ts';
import { browningOf } from '../derive/curve/browning.ts';

/** What happened in a cook as lanes under its curve, by kind. Times in seconds since the cook started. Pure. */

/** How high the vents' lane is filled. */
const OPENING: Record<VentPosition, number> = { shut: 0, 'nearly-shut': 0.1, low: 0.3, half: 0.55, open: 1 };

type Stands = Pick<CookMark, 't' | 'kind' | 'name' | 'text'>;

/** @returns the lanes that have something in them, from the top */
export function lanesOf(cook: Pick<CookDetail, 'run' | 'marks' | 'seconds'>): Lane[] {
  const stands = cook.marks.filter(({ undone }) => !undone);
  const all: Lane[] = [
    { label: 'Pizzas', kind: 'bars', items: pizzas(cook) },
    { label: 'Lid', kind: 'spans', items: lids(stands, cook.seconds) },
    { label: 'Vents', kind: 'steps', items: vents(stands, cook.seconds) },
    {
      label: 'Fuel',
      kind: 'dots',
      items: dots(stands, ({ name }) => name === 'fuel' || name === 'fire-lit'),
    },
    { label: 'Calls', kind: 'flags', items: dots(stands, ({ kind }) => kind === 'alert') },
    { label: 'Notes', kind: 'dots', items: dots(stands, ({ name }) => name === 'note') },
  ];
  return all.filter(({ items }) => items.length > 0);
}

const pizzas = ({ run, seconds }: Pick<CookDetail, 'run' | 'seconds'>): LaneItem[] =>
  run
    .flatMap(({ pizza }): LaneItem[] => {
      const { name, launchedAt, offAt } = pizza;
      if (launchedAt === null) return [];
      const to = offAt ?? Math.max(seconds, launchedAt);
      return [{ from: launchedAt, to, label: name, brown: browningOf(pizza, to) ?? 0 }];
    })
    .sort((a, b) => a.from - b.from)
    .map((item, i) => ({ ...item, label: `${i + 1} ${item.label}`.trim(), short: String(i + 1) }));

/** Open from where a person or the engine reports it until either reports it closed. */
function lids(marks: readonly Stands[], end: number): LaneItem[] {
  const items: LaneItem[] = [];
  let from: number | null = null;
  for (const { t, name } of marks) {
    if (name === 'lid-open') from ??= t;
    if (name !== 'lid-closed' || from === null) continue;
    items.push({ from, to: t, label: '' });
    from = null;
  }
  return from === null ? items : [...items, { from, to: Math.max(from, end), label: '' }];
}

/** From one setting to the next; a note that says no opening is shown as a setting whose opening is not known. */
function vents(marks: readonly Stands[], end: number): LaneItem[] {
  const set = marks.filter(({ kind, name }) => kind === 'event' && name === 'vent');
  return set.map(({ t, text }, i) => {
    const position = ventPosition(text);
    return {
      from: t,
      to: set[i + 1]?.t ?? Math.max(t, end),
      label: text,
      ...(position && { share: OPENING[position] }),
    };
  });
}

const dots = (marks: readonly Stands[], is: (mark: Stands) => boolean): LaneItem[] =>
  marks.filter(is).map(({ t, name }) => ({ from: t, to: t, label: name }));
