import { partForTap } from '../../api.ts';
import { attempt, tellEvent, tellPizza } from '../../stores/act/acts.ts';
import { askToLaunch, askToTakeOff, beforeLid } from '../../stores/act/ask.ts';
import type { KeyName } from '../../stores/derive/action-bar.ts';
import { sheet, type Sheet } from '../../stores/screen.ts';
import type { IconName } from '../icon/index.tsx';

/** A pizza as its key shows it: the id that a tap is for, its name and how long is left. */
export type Due = { id: string | null; name: string; left: string };
type Dues = { launch: Due; turn: Due | null; off: Due | null; lidOpen: boolean };

/** `does` says what a tap does, and to which pizza: while it stays the same the key does not rest. */
export type Key = {
  id: KeyName;
  does: string;
  label: string;
  icon: IconName;
  beside?: string;
  disabled?: boolean;
  act(): void;
};

const open = (kind: Exclude<Sheet['kind'], 'pizza'>) => (): void => {
  sheet.value = { kind };
};

const plain = (id: KeyName, label: string, icon: IconName, act: () => void): Key => ({
  id,
  does: id,
  label,
  icon,
  act,
});

const onStoneKey = (id: 'turn' | 'off', label: string, pizza: Due | null, act: (of: Due) => void): Key => ({
  id,
  does: `${id} ${pizza?.id ?? ''}`,
  label,
  icon: id,
  beside: pizza?.left ?? '',
  disabled: !pizza,
  act: () => pizza && act(pizza),
});

function turned({ id, name }: Due): void {
  const did = `${name} turned`;
  beforeLid(did, () => void tellPizza('turn', id, did), '', id);
}

function lidKey(isOpen: boolean): Key {
  const [does, label] = isOpen ? (['lid-closed', 'Lid shut'] as const) : (['lid-open', 'Lid open'] as const);
  const act = (): void => void tellEvent(does, label);
  return { id: 'lid', does, label, icon: 'lid', act: isOpen ? act : () => beforeLid(label, act) };
}

/** Tapped once an evening: its code comes when it is. */
const endEvening = async (): Promise<void> =>
  (await attempt('end', () => partForTap(import('../../stores/end-evening.ts'))))?.endEvening();

const MAKE: Record<KeyName, (dues: Dues) => Key> = {
  launch: ({ launch: { id, name } }) => ({
    id: 'launch',
    does: `launch ${id ?? ''}`,
    label: 'Launch',
    icon: 'launch',
    beside: name,
    act: () => askToLaunch(id, name),
  }),
  turn: ({ turn }) => onStoneKey('turn', 'Turn', turn, turned),
  off: ({ off }) => onStoneKey('off', 'Off', off, ({ id, name }) => askToTakeOff(id, name)),
  vents: () => plain('vents', 'Vents', 'vents', open('vents')),
  spot: () => plain('spot', 'Look', 'spot', open('spot')),
  fuel: () =>
    plain('fuel', 'Charcoal', 'fuel', () =>
      beforeLid('Charcoal added', () => void tellEvent('fuel', 'Charcoal added')),
    ),
  lid: ({ lidOpen }) => lidKey(lidOpen),
  note: () => plain('note', 'Note', 'note', open('note')),
  'fire-lit': () => plain('fire-lit', 'Fire lit', 'flame', () => void tellEvent('fire-lit', 'Fire lit')),
  recent: () => plain('recent', 'What happened', 'list', open('recent')),
  end: () => plain('end', 'End the evening', 'past', () => void endEvening()),
};

export const keyOf = (name: KeyName, dues: Dues): Key => MAKE[name](dues);
