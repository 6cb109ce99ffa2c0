import type { JSX } from 'preact';
import { useMemo, useRef } from 'preact/hooks';
import { formatCountdown } from '../../lib/format.ts';
import { steady } from '../../lib/steady.ts';
import { busy, tellEvent, tellPizza } from '../../stores/acts.ts';
import { cookTime, now } from '../../stores/live.ts';
import { nextAct, onStone, waiting, type OnStone } from '../../stores/pizzas.ts';
import { sheet, type Sheet } from '../../stores/screen.ts';
import { Icon, type IconName } from '../icon/index.tsx';

type Key = { id: string; label: string; icon: IconName; beside?: string; disabled?: boolean; act(): void };

/** A pizza as its key shows it: the id that a tap is for, its name and how long is left. */
type Due = { id: string | null; name: string; left: string };

const dueOf = (pizza: OnStone | undefined, left: number | null | undefined): Due | null =>
  pizza ? { id: pizza.id, name: pizza.name, left: left == null ? '' : formatCountdown(left) } : null;

const shown = steady(() => {
  const document = now.value;
  if (!document?.cook) return null;
  const t = cookTime.value ?? 0;
  const pizzas = onStone(document, t);
  const turn = pizzas.filter((p) => p.turnIn !== null).sort((a, b) => (a.turnIn ?? 0) - (b.turnIn ?? 0))[0];
  const off = [...pizzas].sort((a, b) => a.offIn - b.offIn)[0];
  const launch = waiting(document)[0];
  return {
    launch: { id: launch?.id ?? null, name: launch?.name ?? '' },
    turn: dueOf(turn, turn?.turnIn),
    off: dueOf(off, off?.offIn),
    lidOpen: document.lidOpen,
    next: nextAct(document, t),
  };
});

function launchKey({ id, name }: { id: string | null; name: string }): Key {
  const act = (): void => void tellPizza('launch', id, `${name || 'Pizza'} launched`);
  return { id: 'launch', label: 'Launch', icon: 'launch', beside: name, act };
}

function stoneKey(does: 'turn' | 'off', pizza: Due | null): Key {
  const label = does === 'turn' ? 'Turn' : 'Off';
  const said = does === 'turn' ? 'turned' : 'off the stone';
  return {
    id: does,
    label,
    icon: does,
    beside: pizza?.left ?? '',
    disabled: !pizza,
    act: () => void (pizza && tellPizza(does, pizza.id, `${pizza.name} ${said}`)),
  };
}

const open = (kind: Exclude<Sheet['kind'], 'pizza'>) => (): void => {
  sheet.value = { kind };
};

function grillKeys(lidOpen: boolean): Key[] {
  const lid = lidOpen ? (['lid-closed', 'Lid shut'] as const) : (['lid-open', 'Lid open'] as const);
  return [
    { id: 'vents', label: 'Vents', icon: 'vents', act: () => void tellEvent('vent', 'Vents moved') },
    { id: 'fuel', label: 'Fuel', icon: 'fuel', act: () => void tellEvent('fuel', 'Charcoal added') },
    { id: 'lid', label: lid[1], icon: 'lid', act: () => void tellEvent(lid[0], lid[1]) },
    { id: 'note', label: 'Note', icon: 'note', act: open('note') },
    { id: 'spot', label: 'Spot', icon: 'spot', act: open('spot') },
    { id: 'recent', label: 'Recent', icon: 'list', act: open('recent') },
  ];
}

/** What a floury finger must find without looking: the next sensible tap is the widest and the first. */
export function Dock(): JSX.Element | null {
  if (!shown.value) return null;
  const { launch, turn, off, lidOpen, next } = shown.value;
  const keys = [launchKey(launch), stoneKey('turn', turn), stoneKey('off', off)];
  return (
    <div class="dock" role="group" aria-label="What happened at the grill">
      {keys.map((key) => (
        <DockKey key={key.id} of={key} primary={key.id === next} />
      ))}
      {grillKeys(lidOpen).map((key) => (
        <DockKey key={key.id} of={key} primary={false} />
      ))}
    </div>
  );
}

/** Drawn anew only when something of it is seen to change. */
function DockKey({ of, primary }: { of: Key; primary: boolean }): JSX.Element {
  const { id, label, icon, beside, disabled } = of;
  const isBusy = busy.value.size > 0;
  const act = useRef(of.act);
  act.current = of.act;
  return useMemo(
    () => (
      <button
        type="button"
        class={`dock-key ${primary ? 'primary' : ''}`}
        data-testid={id}
        disabled={disabled}
        aria-busy={isBusy ? 'true' : undefined}
        onClick={() => act.current()}
      >
        <Icon name={icon} size={primary ? 40 : 32} />
        <span>{label}</span>
        {beside && <small>{beside}</small>}
      </button>
    ),
    [primary, label, icon, beside, disabled, isBusy],
  );
}
