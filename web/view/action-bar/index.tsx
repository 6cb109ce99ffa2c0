import type { JSX } from 'preact';
import { useSignal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { dueCount } from '../../lib/format.ts';
import { distinctComputed } from '../../lib/distinct-computed.ts';
import { busy } from '../../stores/act/acts.ts';
import { actionKeys } from '../../stores/derive/action-bar.ts';
import { onStone, waiting, type OnStone } from '../../stores/derive/pizza-countdowns.ts';
import { headline } from '../../stores/headline.ts';
import { cookTime, now } from '../../stores/live.ts';
import { sheet } from '../../stores/screen.ts';
import { Icon } from '../icon/index.tsx';
import { keyOf, type Due, type Key } from './keys.ts';
import { Rest } from './rest.ts';

const dueOf = (pizza: OnStone | undefined, left: number | null | undefined): Due | null =>
  pizza ? { id: pizza.id, name: pizza.name, left: left == null ? '' : dueCount(left) } : null;

export const shown = distinctComputed(() => {
  const document = now.value;
  if (!document?.cook) return null;
  const t = cookTime.value ?? 0;
  const pizzas = onStone(document, t);
  const turn = pizzas.filter((p) => p.turnIn !== null).sort((a, b) => (a.turnIn ?? 0) - (b.turnIn ?? 0))[0];
  const off = [...pizzas].sort((a, b) => a.offIn - b.offIn)[0];
  const launch = waiting(document)[0];
  return {
    keys: actionKeys(document, t, headline.value),
    tone: headline.value.tone,
    dues: {
      launch: { id: launch?.id ?? null, name: launch?.name ?? '', left: '' },
      turn: dueOf(turn, turn?.turnIn),
      off: dueOf(off, off?.offIn),
      lidOpen: document.lidOpen,
    },
  };
});

const ignore = (): void => {};

/** Whether a key rests that does this now. */
function useRest(does: string | null): boolean {
  const drawn = useSignal(0);
  const rest = useMemo(() => new Rest(() => drawn.value++), []);
  useEffect(() => () => rest.stop(), []);
  return drawn.value >= 0 && rest.asked(does);
}

const openMore = (): void => {
  sheet.value = { kind: 'more' };
};

/**
 * What a floury finger must find without looking: the first key does what the headline says, and wears its colour once
 * it is to be done; two others can be tapped as well, the last opens the rest. A key's place stays; what lies there rests when it changes.
 */
export function ActionBar(): JSX.Element | null {
  if (!shown.value) return null;
  const { keys, tone, dues } = shown.value;
  return (
    <div class="action-bar" role="group" aria-label="What happened at the grill">
      <ActionKey of={keyOf(keys.first, dues)} kind={`primary ${keys.isDue ? `due ${tone}` : ''}`} />
      {[0, 1].map((place) => {
        const name = keys.others[place];
        return name ? <ActionKey key={place} of={keyOf(name, dues)} kind="" /> : <span key={place} />;
      })}
      <button type="button" class="action-key" data-testid="more" onClick={openMore}>
        <Icon name="more" size={32} />
        <span>More</span>
      </button>
    </div>
  );
}

/** Drawn anew only when something of it is seen to change. */
export function ActionKey({ of, kind }: { of: Key; kind: string }): JSX.Element {
  const { id, does, label, icon, beside, disabled } = of;
  const isBusy = busy.value.size > 0;
  const isResting = useRest(does);
  const act = useRef(of.act);
  act.current = isResting ? ignore : of.act;
  return useMemo(
    () => (
      <button
        type="button"
        class={`action-key ${kind}`}
        data-testid={id}
        data-does={does}
        disabled={disabled}
        aria-disabled={isResting ? 'true' : undefined}
        aria-busy={isBusy ? 'true' : undefined}
        onClick={() => act.current()}
      >
        <Icon name={icon} size={kind ? 40 : 32} />
        <span>{label}</span>
        {beside && <small dir="auto">{beside}</small>}
      </button>
    ),
    [kind, id, does, label, icon, beside, disabled, isBusy, isResting],
  );
}
