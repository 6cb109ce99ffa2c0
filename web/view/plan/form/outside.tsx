import type { JSX } from 'preact';
import { fromFahrenheit } from '../../../../shared/units.ts';
import { differenceInUnit, inUnit } from '../../../lib/format.ts';
import { unit } from '../../../stores/settings.ts';
import { Choice } from '../../sheet/choice.tsx';
import { change, type Draft } from './draft.ts';
import { Stepper } from '../stepper.tsx';

/** The air around the grill: it decides how much charcoal, and how early the fire. */
export function Outside({ draft }: { draft: Draft }): JSX.Element {
  const { outsideC, windy, altitudeM } = draft.value.input;
  const shown = unit.value;
  return (
    <details class="plan-card plan-more" data-testid="plan-outside">
      <summary>Outside: air, wind, altitude</summary>
      <Stepper
        label="Air"
        unit={`°${shown}`}
        value={Math.round(inUnit(outsideC ?? 20, shown))}
        low={Math.round(inUnit(-30, shown))}
        high={Math.round(inUnit(50, shown))}
        step={Math.round(differenceInUnit(2.5, shown))}
        onChange={(typed) => change(draft, { outsideC: shown === 'F' ? fromFahrenheit(typed) : typed })}
      />
      <Stepper
        label="Altitude"
        unit="m"
        value={altitudeM}
        low={-500}
        high={5000}
        step={100}
        onChange={(metres) => change(draft, { altitudeM: metres })}
      />
      <Choice
        legend="Wind at the grill"
        name="plan-wind"
        options={[
          ['no', 'Calm'],
          ['yes', 'Windy'],
        ]}
        value={windy ? 'yes' : 'no'}
        onChoose={(wind) => change(draft, { windy: wind === 'yes' })}
      />
    </details>
  );
}
