import type { JSX } from 'preact';
import { useMemo, useRef } from 'preact/hooks';
import { formatCountdown } from '../../lib/format.ts';
import { busy, tellEvent, tellPizza } from '../../stores/acts.ts';
import { cookTime, now } from '../../stores/live.ts';
import { nextAct, onStone, waiting, type OnStone } from '../../stores/pizzas.ts';
import { sheet, type Sheet } from '../../stores/screen.ts';
import { Icon, type IconName } from '../icon/index.tsx';

type Key = { id: string; label: string; icon: IconName; beside?: string; disabled?: boolean; act(): void };

function launchKey(): Key {
  const next = now.value ? waiting(now.value)[0] : undefined;
  const name = next?.name ?? '';
  const act = (): void => void tellPizza('launch', next?.id ?? null, `${name || 'Pizza'} launched`);
  return { id: 'launch', label: 'Launch', icon: 'launch', beside: name, act };
}

function stoneKey(does: 'turn' | 'off', pizza: OnStone | undefined): Key {
  const left = does === 'turn' ? pizza?.turnIn : pizza?.offIn;
  const label = does === 'turn' ? 'Turn' : 'Off';
  const said = does === 'turn' ? 'turned' : 'off the stone';
  return {
    id: does,
    label,
    icon: does,
    beside: left == null ? '' : formatCountdown(left),
    disabled: !pizza,
    act: () => void (pizza && tellPizza(does, pizza.id, `${pizza.name} ${said}`)),
  };
}

const open = (kind: Exclude<Sheet['kind'], 'pizza'>) => (): void => {
  sheet.value = { kind };
};

function grillKeys(): Key[] {
  const lidOpen = now.value?.lidOpen ?? false;
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
  const document = now.value;
  if (!document?.cook) return null;
  const t = cookTime.value ?? 0;
  const pizzas = onStone(document, t);
  const turnNext = pizzas
    .filter((p) => p.turnIn !== null)
    .sort((a, b) => (a.turnIn ?? 0) - (b.turnIn ?? 0))[0];
  const offNext = [...pizzas].sort((a, b) => a.offIn - b.offIn)[0];
  const next = nextAct(document, t);
  const keys = [launchKey(), stoneKey('turn', turnNext), stoneKey('off', offNext)];
  return (
    <div class="dock" role="group" aria-label="What happened at the grill">
      {keys.map((key) => (
        <DockKey key={key.id} of={key} primary={key.id === next} />
      ))}
      {grillKeys().map((key) => (
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
