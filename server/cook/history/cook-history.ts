import { happenedAt } from '../../../shared/cook/happened-at.ts';
import { isMistake } from '../../../shared/cook/bakes.ts';
import type { CookDetail, CookMark, CookRow } from '../../../shared/api/api.ts';
import { DEFAULT_TARGETS } from '../../../shared/engine.ts';
import { Fault } from '../../../shared/fault.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { createBreath, withBreaths } from '../../store/breath.ts';
import type { EngineRecord, Picture, Store, StoredCook, StoredEvent } from '../../store/store.ts';
import { isExample } from '../portable/examples.ts';
import { between, curvesOf, type Point } from './cook-curves.ts';
import { photoOf } from './photos.ts';
import { channelName } from '../live/live-document.ts';
import { isByPerson } from './cook-entries.ts';
import { storedPizzas } from './stored-pizzas.ts';
import { LOOKED_BACK, bakeCurve, pictureOf, reviewPizza, stoneBand } from './pizza-review.ts';

/** Points a channel in the list's small pictures. */
const PICTURE_POINTS = 80;
/** A cook without a word of a person whose readings stay within so many °C is none to look back at. */
const NO_FIRE_RANGE_CELSIUS = 40;
/** A stone that takes longer is not taken to have recovered from its pizza, s. */
const RECOVERED_WITHIN_SECONDS = 3600;

const iso = (ms: number): string => new Date(ms).toISOString();

/** @throws Fault `not-found` when there is no such cook, or it was deleted */
export function findCook(store: Store, id: number): StoredCook {
  const cook = store.cook(id);
  if (!cook) throw new Fault('not-found', `There is no cook ${id}.`);
  return cook;
}

export async function listCooks(store: Store): Promise<CookRow[]> {
  const breathe = createBreath();
  const listed: CookRow[] = [];
  for (const cook of store.cooks()) {
    listed.push(await rowOf(store, cook));
    await breathe();
  }
  return listed;
}

async function picture(store: Store, cook: StoredCook): Promise<Picture> {
  if (cook.picture) return cook.picture;
  const made = pictureOf(await withBreaths(store.downsampled(cook.id, {}, PICTURE_POINTS)));
  if (cook.endedAt !== null) store.patchCook(cook.id, { picture: made });
  return made;
}

function isEmpty(store: Store, { id, endedAt }: StoredCook, drawn: Picture, launched: number): boolean {
  if (launched > 0 || endedAt === null) return false;
  if (store.events(id).some((entry) => isByPerson(entry) && entry.event.event !== 'caution-seen'))
    return false;
  return Object.values(drawn).every((points) => {
    const celsius = points.map(([, value]) => value);
    return Math.max(...celsius) - Math.min(...celsius) < NO_FIRE_RANGE_CELSIUS;
  });
}

export async function rowOf(store: Store, cook: StoredCook): Promise<CookRow> {
  const pizzas = storedPizzas(store, cook).filter((p) => p.launchedAt !== null && !isMistake(p));
  const marks = store.records(cook.id);
  const drawn = await picture(store, cook);
  const lastT = Math.max(0, ...Object.values(drawn).map((points) => points.at(-1)?.[0] ?? 0));
  const { id, name, startedAt, endedAt, rehearsal, notes, header } = cook;
  const targets = { ...DEFAULT_TARGETS, ...header.targets };
  return {
    id,
    name,
    notes,
    startedAt: iso(startedAt),
    endedAt: endedAt === null ? null : iso(endedAt),
    rehearsal,
    isExample: isExample(store, id),
    targets: { ...targets, stone: [...targets.stone], dome: targets.dome && [...targets.dome] },
    seconds: rehearsal || endedAt === null ? lastT : (endedAt - startedAt) / 1000,
    pizzas: pizzas.length,
    right: pizzas.filter((p) => p.base === 'right' && p.top === 'right').length,
    scorched: pizzas.filter((p) => p.base === 'scorched' || p.top === 'scorched').length,
    pale: pizzas.filter((p) => p.base === 'pale' || p.top === 'pale').length,
    overshoots: marks.filter((m) => m.type === 'alert' && m.alert === 'overshot' && m.again === undefined)
      .length,
    isEmpty: isEmpty(store, cook, drawn, pizzas.length),
    picture: drawn,
  };
}

export async function detailOf(store: Store, id: number): Promise<CookDetail> {
  const cook = findCook(store, id);
  const events = store.events(id);
  const band = stoneBand(cook.header);
  const photos = store.photos(id);
  const pizzas = storedPizzas(store, cook, events);
  const records = store.records(id);
  const marks = [
    ...events
      .filter((entry) => isByPerson(entry) && entry.event.event !== 'caution-seen')
      .map((entry) => eventMark(entry, cook)),
    ...records.flatMap(engineMark),
  ];
  const curves = await curvesOf(store, cook, launches(cook, pizzas));
  return {
    ...(await rowOf(store, cook)),
    channels: cook.header.channels.map((c) => ({ id: c.id, role: c.role, name: channelName(c) })),
    run: pizzas.map((pizza) => {
      const until = Math.min(
        ...pizzas.flatMap(({ launchedAt }) =>
          launchedAt !== null && launchedAt > (pizza.launchedAt ?? Infinity) ? [launchedAt] : [],
        ),
      );
      const [stone, dome] = [around(curves.stone, pizza), around(curves.dome, pizza)];
      return {
        pizza,
        review: reviewPizza(pizza, records, stone, dome, band),
        photos: photos.filter((photo) => photo.pizza === pizza.id).map(photoOf),
        curve: { stone: bakeCurve(pizza, stone, until), dome: bakeCurve(pizza, dome, until) },
      };
    }),
    marks: marks.sort((a, b) => a.t - b.t),
  };
}

/** What a pizza is judged by, s since the cook began; null of one that was not launched. */
const judgedBy = ({ launchedAt, offAt }: Pizza): [number, number] | null =>
  launchedAt === null ? null : [launchedAt - LOOKED_BACK, (offAt ?? launchedAt) + RECOVERED_WITHIN_SECONDS];

function around(curve: readonly Point[], pizza: Pizza): Point[] {
  const span = judgedBy(pizza);
  return span === null ? [] : between(curve, ...span);
}

/** The times that hold all that pizzas are judged by, ms since the epoch: the rest of a long cook is not read. */
function launches({ startedAt }: StoredCook, pizzas: readonly Pizza[]): { from: number; to: number } {
  const spans = pizzas.map(judgedBy).filter((span) => span !== null);
  const at = (t: number): number => Math.round(startedAt + t * 1000);
  return {
    from: at(Math.min(...spans.map(([from]) => from))),
    to: at(Math.max(...spans.map(([, to]) => to))),
  };
}

function eventMark({ id, t, event, undone }: StoredEvent, { header }: StoredCook): CookMark {
  const pizza = 'pizza' in event ? event.pizza : undefined;
  return {
    id,
    t: happenedAt(t, event),
    kind: 'event',
    name: event.event,
    text: event.event === 'look' ? lookText(event, header) : (event.note ?? ''),
    undone,
    why: {},
    ...(pizza && { pizza }),
  };
}

function lookText(
  { channel, celsius }: Extract<StoredEvent['event'], { event: 'look' }>,
  header: StoredCook['header'],
): string {
  const known = header.channels.find(({ id }) => id === channel);
  return `${known ? channelName(known) : channel} ${Math.round(celsius)} °C`;
}

function engineMark(mark: EngineRecord, i: number): CookMark[] {
  const base = { id: `m${i}`, t: mark.t };
  if (mark.type === 'state') return [{ ...base, kind: 'state', name: mark.state, text: '', why: mark.why }];
  if (mark.type === 'alert')
    return [
      {
        ...base,
        kind: 'alert',
        name: mark.alert,
        text: mark.message,
        why: mark.why,
        ...(mark.pizza !== undefined && { pizza: mark.pizza }),
      },
    ];
  if (mark.type === 'noticed')
    return [{ ...base, t: mark.at, kind: 'noticed', name: mark.event, text: '', why: mark.why }];
  return [];
}
