import type { CookDetail, CookMark } from '../../../shared/api/api.ts';
import { ventPosition } from '../../../shared/evening/vent-words.ts';
import type { VentPosition } from '../../../shared/evening/vents.ts';
import type { Lane, LaneItem, Span } from '../../lib/plot/plot-scene.ts';
import { browningOf } from '../derive/curve/browning.ts';
import type { Series } from '../derive/curve/series.ts';
import { WHOLE_POINTS } from '../past.ts';

/** What happened in a cook as lanes under its curve, by kind. Times in seconds since the cook started. Pure. */

/** How high the vents' lane is filled. */
const OPENING_SHARE: Record<VentPosition, number> = {
  shut: 0,
  'nearly-shut': 0.1,
  low: 0.3,
  half: 0.55,
  open: 1,
};

type Stands = Pick<CookMark, 't' | 'kind' | 'name' | 'text'>;

type LaneCook = Pick<CookDetail, 'run' | 'marks' | 'seconds' | 'channels'>;

/** @param whole the curves of all of it, empty until they have come @returns the lanes that have something in them, from the top */
export function lanesOf(cook: LaneCook, whole: Series): Lane[] {
  const stands = cook.marks.filter(({ undone }) => !undone);
  const all: Lane[] = [
    { label: 'Pizzas', kind: 'bars', items: pizzas(cook) },
    { label: 'Lid', kind: 'spans', items: lidItems(cook, stands, whole) },
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

/** Of a lid that nothing saw shut again only this much is known to have been open, s (ours: a look, or a peel in and out). */
const OPENED_SECONDS = 20;
/** A further opening so much later is not the same one, said by a person and seen by the engine, s. */
const SAME_OPENING_SECONDS = 90;

/**
 * Open from where a person or the engine reports it until either reports it closed. While the dome is measured, a lid
 * that is not closed is open; without it, its closing was not seen.
 */
function lids(marks: readonly Stands[], end: number, isMeasured: (t: number) => boolean): LaneItem[] {
  const items: LaneItem[] = [];
  let from: number | null = null;
  const push = (to: number): void => {
    if (from !== null) items.push({ from, to: Math.max(from, to), label: '' });
    from = null;
  };
  for (const { t, name } of marks) {
    if (name === 'lid-closed') push(t);
    if (name !== 'lid-open') continue;
    if (from !== null && t - from > SAME_OPENING_SECONDS && !isMeasured(from)) push(from + OPENED_SECONDS);
    from ??= t;
  }
  push(from !== null && !isMeasured(from) ? from + OPENED_SECONDS : end);
  return items;
}

/** A dome that is measured gives a reading at least so often, s; a silence longer than the other is worth telling. */
const MEASURED_EVERY_SECONDS = 60;
const SILENT_SECONDS = 180;

/** When the lid was open, and when nothing could tell: a dome's probe does, and what people and the engine said. */
function lidItems(cook: LaneCook, marks: readonly Stands[], whole: Series): LaneItem[] {
  const measured = domeSpans(cook, whole);
  const open = lids(marks, cook.seconds, (t) => measured.some(({ from, to }) => t >= from && t <= to));
  if (whole.times.length === 0) return open;
  const unknown = gapsBetween([...open, ...measured], cook.seconds, measured.length > 0 ? SILENT_SECONDS : 0);
  return [
    ...open,
    ...unknown.map(({ from, to }): LaneItem => ({ from, to, label: 'unknown', short: '?', isUnknown: true })),
  ].sort((a, b) => a.from - b.from);
}

/**
 * The stretches in which the dome was measured. One that is only looked at now and then tells nothing of the lid.
 * @param whole the curves of the whole cook, thinned
 */
function domeSpans({ channels, seconds }: LaneCook, { times, good }: Series): Span[] {
  // A row is one of a bucket's two: so far apart lie the readings of a probe in the thinned drawing.
  const apart = Math.max(MEASURED_EVERY_SECONDS, (3 * seconds) / Math.max(1, WHOLE_POINTS / 2));
  const cells = channels.flatMap(({ id, role }) => (role === 'dome' ? [good[id] ?? []] : []));
  const spans: Span[] = [];
  times.forEach((t, row) => {
    if (cells.every((column) => column[row] == null)) return;
    const last = spans.at(-1);
    if (last && t - last.to <= apart) last.to = t;
    else spans.push({ from: t, to: t });
  });
  return spans;
}

/** What of 0 to `end` is in none of the spans, and longer than `least`. */
function gapsBetween(spans: readonly Span[], end: number, least: number): Span[] {
  const gaps: Span[] = [];
  let at = 0;
  for (const { from, to } of [...spans].sort((a, b) => a.from - b.from)) {
    if (from - at > least) gaps.push({ from: at, to: from });
    at = Math.max(at, to);
  }
  return end - at > least ? [...gaps, { from: at, to: end }] : gaps;
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
      ...(position && { share: OPENING_SHARE[position] }),
    };
  });
}

const dots = (marks: readonly Stands[], is: (mark: Stands) => boolean): LaneItem[] =>
  marks.filter(is).map(({ t, name }) => ({ from: t, to: t, label: name }));
