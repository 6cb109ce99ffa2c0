import { useSignal, type Signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Pizza } from '../../../shared/pizza.ts';
import { addPizza, changePizza, removePizza, tellPizza, type Wish } from '../../stores/acts.ts';
import { now } from '../../stores/live.ts';
import { NEXT_STAGE } from '../../stores/pizzas.ts';
import { sheet } from '../../stores/screen.ts';
import { settings } from '../../stores/settings.ts';
import { Sheet } from '../sheet/index.tsx';
import { BetterOrder } from './order.tsx';
import { Verdicts } from './verdicts.tsx';

const close = (): void => {
  sheet.value = null;
};

/** One pizza: new, or of the run with what can be done to it. */
export function PizzaSheet({ id }: { id: string | null }): JSX.Element | null {
  const pizza = now.value?.pizzas.find((p) => p.id === id) ?? null;
  if (id !== null && !pizza) return null;
  return (
    <Sheet title={pizza ? pizza.name : 'A pizza for the run'}>
      {pizza && <Acts pizza={pizza} />}
      {pizza?.launchedAt === null && <BetterOrder id={pizza.id} />}
      {pizza?.offAt != null && (
        <Verdicts pizza={pizza} onJudge={(patch) => void changePizza(pizza.id, patch)} />
      )}
      <WishForm pizza={pizza} />
    </Sheet>
  );
}

function Acts({ pizza }: { pizza: Pizza }): JSX.Element | null {
  if (pizza.launchedAt !== null) return null;
  const { id, name, place } = pizza;
  const launch = (): void => {
    void tellPizza('launch', id, `${name} launched`);
    close();
  };
  return (
    <div class="row pizza-acts">
      <button type="button" class="button strong" onClick={launch}>
        Launch this one now
      </button>
      <Hands pizza={pizza} />
      <button type="button" class="button" disabled={place === 0} onClick={() => void swap(pizza, -1)}>
        Earlier
      </button>
      <button type="button" class="button" onClick={() => void swap(pizza, 1)}>
        Later
      </button>
      <button
        type="button"
        class="button"
        onClick={() => {
          void removePizza(id, pizza);
          close();
        }}
      >
        Take out of the run
      </button>
    </div>
  );
}

/** How far hands have got with it, said before they are asked. */
function Hands({ pizza: { id, stage = 'ball' } }: { pizza: Pizza }): JSX.Element | null {
  if (stage === 'topped') return null;
  const [next, words] = NEXT_STAGE[stage];
  return (
    <button type="button" class="button" onClick={() => void changePizza(id, { stage: next })}>
      {words}
    </button>
  );
}

/** Changes places with the neighbour before or after it. */
async function swap(pizza: Pizza, by: -1 | 1): Promise<void> {
  const run = [...(now.value?.pizzas ?? [])].sort((a, b) => a.place - b.place);
  const other = run[run.findIndex((p) => p.id === pizza.id) + by];
  if (!other) return;
  await changePizza(pizza.id, { place: other.place });
  await changePizza(other.id, { place: pizza.place });
}

const minutes = (seconds: number | null): string =>
  seconds === null ? '' : String(Math.round(seconds / 6) / 10);

/** Minutes as typed → seconds; null where nothing usable was typed. */
const seconds = (text: string): number | null => {
  const value = Number(text.replace(',', '.'));
  return text.trim() === '' || !Number.isFinite(value) ? null : Math.round(value * 60);
};

function WishForm({ pizza }: { pizza: Pizza | null }): JSX.Element {
  const name = useSignal(pizza?.name ?? '');
  const eater = useSignal(pizza?.eater ?? '');
  const likes = useSignal(pizza?.likes ?? '');
  const turn = useSignal(minutes(pizza ? pizza.turnAfter : (settings.value?.turnAfter ?? 210)));
  const off = useSignal(minutes(pizza?.offAfter ?? settings.value?.offAfter ?? 450));
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    const wish: Wish = {
      name: name.value.trim(),
      eater: eater.value.trim(),
      likes: likes.value.trim(),
      turnAfter: seconds(turn.value),
      offAfter: seconds(off.value) ?? 450,
    };
    const kept = pizza ? (await changePizza(pizza.id, wish)) !== null : await addPizza(wish);
    if (kept) close();
  };
  return (
    <form onSubmit={(event) => void submit(event)}>
      <div class="row">
        <Text label="Pizza" value={name} testid="pizza-name" />
        <Text label="For whom" value={eater} />
      </div>
      <Text label="How they like it" value={likes} />
      <div class="row">
        <Text label="Turn after, minutes (empty: no turn)" value={turn} decimal />
        <Text label="Off after, minutes" value={off} decimal />
      </div>
      <button type="submit" class="button strong" data-testid="pizza-save">
        {pizza ? 'Keep' : 'Add to the run'}
      </button>
    </form>
  );
}

type TextProps = { label: string; value: Signal<string>; decimal?: boolean; testid?: string };

const Text = ({ label, value, decimal, testid }: TextProps): JSX.Element => (
  <label class="field">
    {label}
    <input
      type="text"
      inputMode={decimal ? 'decimal' : 'text'}
      value={value.value}
      maxLength={200}
      data-testid={testid}
      onInput={(event) => {
        value.value = event.currentTarget.value;
      }}
    />
  </label>
);
