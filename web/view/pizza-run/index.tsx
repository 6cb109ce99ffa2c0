import { computed, signal, useComputed } from '@preact/signals';
import type { HTMLAttributes, JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { Now } from '../../../shared/api/live.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { dueCount, formatSpan, formatTook, withoutFigures } from '../../lib/format.ts';
import { distinctComputed } from '../../lib/distinct-computed.ts';
import { orderRun } from '../../stores/act/acts.ts';
import { cookTime, now } from '../../stores/live.ts';
import { browningOf } from '../../stores/derive/curve/browning.ts';
import { nextLaunchAt, onStone, waiting } from '../../stores/derive/pizza-countdowns.ts';
import { sheet } from '../../stores/screen.ts';
import { Icon } from '../icon/index.tsx';
import { PizzaMark } from '../pizza-mark/index.tsx';

type Status = { kind: 'waiting' | 'next' | 'baking' | 'done'; words: string };

function statusOf(pizza: Pizza, document: Now, t: number): Status {
  if (pizza.launchedAt !== null && pizza.offAt !== null) return { kind: 'done', words: doneWords(pizza) };
  if (pizza.launchedAt !== null) return { kind: 'baking', words: bakingWords(pizza, document, t) };
  if (waiting(document)[0]?.id !== pizza.id) return { kind: 'waiting', words: pizza.likes || 'waiting' };
  const at = nextLaunchAt(document, t);
  if (at === null) return { kind: 'next', words: 'next' };
  return { kind: 'next', words: at - t < 20 ? 'next: now' : `next: in ${formatSpan(at - t)}` };
}

function bakingWords(pizza: Pizza, document: Now, t: number): string {
  const lying = onStone(document, t).find((p) => p.id === pizza.id);
  if (!lying) return 'on the stone';
  const off = `off ${dueCount(lying.offIn)}`;
  return lying.turnIn === null ? off : `turn ${dueCount(lying.turnIn)} · ${off}`;
}

const doneWords = ({ launchedAt, offAt, base, top }: Pizza): string => {
  const took = formatTook((offAt ?? 0) - (launchedAt ?? 0));
  return base && top ? `${took} · ${base} below, ${top} above` : `${took} · how was it?`;
};

/** What matters now comes first; the rest is as it is run. */
const PROGRESS_ORDER = { baking: 0, next: 1, waiting: 2, done: 3 } as const;

type Chip = Pick<Pizza, 'id' | 'name' | 'eater'> & { status: Status; brown: number | null };

const all = computed<Chip[] | null>(() => {
  const document = now.value;
  if (!document?.cook) return null;
  const t = cookTime.value ?? 0;
  return document.pizzas
    .map((pizza) => ({
      id: pizza.id,
      name: pizza.name,
      eater: pizza.eater,
      status: statusOf(pizza, document, t),
      brown: browningOf(pizza, t),
    }))
    .sort((a, b) => PROGRESS_ORDER[a.status.kind] - PROGRESS_ORDER[b.status.kind]);
});

/** Drawn anew when they read otherwise; a second that passes is written into the text of a countdown. */
const chips = distinctComputed(
  () =>
    all.value?.map((chip) => ({
      ...chip,
      status: { ...chip.status, words: withoutFigures(chip.status.words) },
    })) ?? null,
);
const words = computed(() => new Map(all.value?.map(({ id, status }) => [id, status.words])));

/** The run of pizzas: what lies on the stone counts down, a tap opens one. */
export function PizzaRun(): JSX.Element | null {
  const before = useRef(new Map<string, JSX.Element>());
  if (!chips.value) return null;
  // Of a long run one or two read otherwise each second: the others are not even gone through.
  const drawn = new Map(
    chips.value.map((chip) => {
      const key = JSON.stringify(chip);
      return [key, before.current.get(key) ?? <PizzaChip key={chip.id} chip={chip} />];
    }),
  );
  before.current = drawn;
  return (
    <section class="pizza-run" aria-label="Pizzas">
      <ol>{[...drawn.values()]}</ol>
      <button type="button" class="pizza-chip add" data-testid="add-pizza" onClick={openSheet(null)}>
        <Icon name="plus" /> <span class="pizza-name">Pizza</span>
      </button>
    </section>
  );
}

const openSheet = (id: string | null) => (): void => {
  sheet.value = { kind: 'pizza', id };
};

/** The chip that is being dragged. */
const held = signal<string | null>(null);

/** Drops the dragged pizza before this one; buttons in its sheet do the same for touch and keys. */
function dropBefore(id: string): void {
  const document = now.value;
  const from = held.value;
  held.value = null;
  if (!document || from === null || from === id) return;
  const rest = waiting(document).flatMap((p) => (p.id === from ? [] : [p.id]));
  void orderRun(rest.flatMap((pizza) => (pizza === id ? [from, pizza] : [pizza])));
}

const dragsOf = (id: string, { kind }: Status): HTMLAttributes<HTMLLIElement> =>
  kind === 'waiting' || kind === 'next'
    ? {
        draggable: true,
        onDragStart: () => {
          held.value = id;
        },
        onDragOver: (event) => event.preventDefault(),
        onDrop: () => dropBefore(id),
      }
    : {};

function PizzaChip({ chip: { id, name, eater, status, brown } }: { chip: Chip }): JSX.Element {
  const text = useComputed(() => words.value.get(id) ?? '');
  return (
    <li {...dragsOf(id, status)}>
      <button type="button" class={`pizza-chip ${status.kind}`} data-testid="pizza" onClick={openSheet(id)}>
        <span class="pizza-name">
          <PizzaMark brown={brown} />
          <bdi>{name}</bdi>
          {eater && (
            <small>
              for <bdi>{eater}</bdi>
            </small>
          )}
        </span>
        <span class="pizza-words" dir="auto">
          {text}
        </span>
      </button>
    </li>
  );
}
