import type { JSX } from 'preact';
import type { Preferment } from '../../../../shared/evening/dough.ts';
import { Choice } from '../../sheet/choice.tsx';
import { change, type Draft } from './draft.ts';
import { Stepper } from '../stepper.tsx';

const KINDS = [
  ['none', 'None'],
  ['poolish', 'Poolish'],
  ['biga', 'Biga'],
  ['sourdough', 'Sourdough'],
] as const;
/** What is usual for a kind, % of the flour. */
const USUAL_SHARE_PERCENT = { poolish: 30, biga: 40, sourdough: 12 } as const;

function PrefermentForm({ draft, own }: { draft: Draft; own: Preferment }): JSX.Element {
  const set = (patch: Partial<Preferment>): void => change(draft, { preferment: { ...own, ...patch } });
  return (
    <>
      <Stepper
        label="Flour in it"
        unit="% of the flour"
        value={own.flourShare === undefined ? USUAL_SHARE_PERCENT[own.kind] : own.flourShare * 100}
        low={1}
        high={80}
        onChange={(percent) => set({ flourShare: percent / 100 })}
      />
      <Stepper
        label="Water in it"
        unit="% of its flour"
        value={own.hydration === undefined ? (own.kind === 'biga' ? 50 : 100) : own.hydration * 100}
        low={40}
        high={150}
        step={5}
        onChange={(percent) => set({ hydration: percent / 100 })}
      />
      <Choice
        legend="As it goes in"
        name="plan-preferment-ripe"
        options={[
          ['young', 'Young'],
          ['ripe', 'Ripe'],
          ['past', 'Past its best'],
        ]}
        value={own.ripeness}
        onChoose={(ripeness) => set({ ripeness })}
      />
    </>
  );
}

/** A part of the flour that ferments before: its kind, and what of it is not usual. */
export function PrefermentPart({ draft }: { draft: Draft }): JSX.Element {
  const own = draft.value.input.preferment;
  return (
    <>
      <Choice
        legend="Preferment"
        name="plan-preferment"
        options={KINDS}
        value={own?.kind ?? 'none'}
        onChoose={(kind) =>
          change(draft, { preferment: kind === 'none' ? undefined : { kind, ripeness: 'ripe' } })
        }
        testid="plan-preferment"
      />
      {own && <PrefermentForm draft={draft} own={own} />}
    </>
  );
}
