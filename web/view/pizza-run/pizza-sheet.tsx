import { useSignal, type Signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { changePizza, orderRun } from '../../stores/act/acts.ts';
import { addPizza, removePizza, type Wish, proposedRun, type Proposed } from '../../stores/act/later-acts.ts';
import { askToLaunch } from '../../stores/act/ask.ts';
import { formatTook } from '../../lib/format.ts';
import { now } from '../../stores/live.ts';
import { NEXT_STAGE, swapped, waiting } from '../../stores/derive/pizza-countdowns.ts';
import { sheet } from '../../stores/screen.ts';
import { settings } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { Earlier, TakeBack } from '../recent/take-back.tsx';
import { Sheet } from '../sheet/index.tsx';
import { TextField } from '../sheet/fields.tsx';
import { Verdicts } from './verdicts.tsx';
import { useEffect } from 'preact/hooks';

/** A better order of the waiting pizzas, and why this one would stand where it does. */
function BetterOrder({ id }: { id: string }): JSX.Element | null {
  const better = useSignal<Proposed['order']>([]);
  const ask = async (): Promise<void> => {
    better.value = (await proposedRun())?.order ?? [];
  };
  useEffect(() => void ask(), []);
  const place = better.value.findIndex((pizza) => pizza.id === id);
  const proposal = better.value[place];
  if (!proposal || better.value.length < 2) return null;
  return (
    <div class="row pizza-acts">
      <Button data-testid="order-run" onClick={() => void orderRun(better.value.map((pizza) => pizza.id))}>
        Order all by taste and stone
      </Button>
      <p>
        This one would be number {place + 1} of those that wait. {proposal.reason}
      </p>
    </div>
  );
}

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
        <Verdicts pizza={pizza} onRate={(patch) => void changePizza(pizza.id, patch)} />
      )}
      <WishForm pizza={pizza} />
    </Sheet>
  );
}

function Acts({ pizza }: { pizza: Pizza }): JSX.Element | null {
  if (pizza.launchedAt !== null)
    return (
      <>
        <div class="row pizza-acts">
          <TakeBack pizza={pizza} />
        </div>
        <Earlier pizza={pizza} />
      </>
    );
  const { id, name } = pizza;
  const run = now.value ? waiting(now.value).map((p) => p.id) : [];
  const [earlier, later] = [swapped(run, id, -1), swapped(run, id, 1)];
  const launch = (): void => {
    close();
    askToLaunch(id, name);
  };
  return (
    <div class="row pizza-acts">
      <Button look="strong" onClick={launch}>
        Launch this one now
      </Button>
      <Hands pizza={pizza} />
      <Button disabled={!earlier} onClick={() => void orderRun(earlier ?? run)}>
        Earlier
      </Button>
      <Button disabled={!later} onClick={() => void orderRun(later ?? run)}>
        Later
      </Button>
      <Button
        onClick={() => {
          void removePizza(id, name);
          close();
        }}
      >
        Take out of the run
      </Button>
    </div>
  );
}

/** How far hands have got with it, said before they are asked. */
function Hands({ pizza: { id, stage = 'ball' } }: { pizza: Pizza }): JSX.Element | null {
  if (stage === 'topped') return null;
  const [next, words] = NEXT_STAGE[stage];
  return <Button onClick={() => void changePizza(id, { stage: next })}>{words}</Button>;
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
  const turn = useSignal(minutes((pizza ?? settings.value ?? { turnAfter: 210 }).turnAfter));
  const took = pizza?.offAt != null && pizza.launchedAt !== null ? pizza.offAt - pizza.launchedAt : null;
  const off = useSignal(minutes(pizza?.offAfter ?? settings.value?.offAfter ?? 450));
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    const who = { name: name.value.trim(), eater: eater.value.trim(), likes: likes.value.trim() };
    const wish: Wish = { ...who, turnAfter: seconds(turn.value), offAfter: seconds(off.value) ?? 450 };
    const saved = pizza
      ? (await changePizza(pizza.id, took === null ? wish : who)) !== null
      : await addPizza(wish);
    if (saved) close();
  };
  return (
    <form onSubmit={(event) => void submit(event)}>
      <div class="row">
        <Text label="Pizza" value={name} testid="pizza-name" />
        <Text label="For whom" value={eater} />
      </div>
      <Text label="How they like it" value={likes} />
      {took === null ? (
        <div class="row">
          <Text label="Turn after, minutes (empty: no turn)" value={turn} decimal />
          <Text label="Off after, minutes" value={off} decimal />
        </div>
      ) : (
        <p data-testid="pizza-took">{formatTook(took)} on the stone, as it was tapped.</p>
      )}
      <Button type="submit" look="strong" data-testid="pizza-save">
        {pizza ? 'Keep' : 'Add to the run'}
      </Button>
    </form>
  );
}

type TextProps = { label: string; value: Signal<string>; decimal?: boolean; testid?: string };

const Text = ({ value, decimal, ...rest }: TextProps): JSX.Element => (
  <TextField {...rest} bind={value} kind={decimal ? 'decimal' : undefined} most={200} />
);
