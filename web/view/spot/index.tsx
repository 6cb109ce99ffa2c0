import { useSignal, type Signal } from '@preact/signals';
import type { JSX } from 'preact';
import { SURFACES } from '../../../shared/surface.ts';
import { fromFahrenheit, toFahrenheit } from '../../../shared/units.ts';
import { formatTemperature } from '../../lib/format.ts';
import { offerUndo, tellSpot } from '../../stores/acts.ts';
import { now } from '../../stores/live.ts';
import { channelOf } from '../../stores/say.ts';
import { sheet } from '../../stores/screen.ts';
import { unit } from '../../stores/settings.ts';
import { Icon } from '../icon/index.tsx';
import { Choice } from '../sheet/choice.tsx';
import { Sheet } from '../sheet/index.tsx';
import { LID, setEmissivity, type Lid } from './lid.ts';

const MOST_DIGITS = 4;

/** Types in what an infrared thermometer reads; the server corrects it for the surface. */
export function SpotSheet(): JSX.Element {
  const digits = useSignal('');
  const channel = useSignal('stone');
  const surface = useSignal('cordierite');
  const lid = useSignal<Lid>('open');
  const set = useSignal('0.95');
  const channels = now.value?.channels.map((c) => [c.id, c.name] as const) ?? [];
  const keep = async (): Promise<void> => {
    const value = Number(digits.value);
    const reflected =
      lid.value === 'open' ? 20 : ((now.value && channelOf(now.value, 'dome')?.celsius) ?? 20);
    const told = await tellSpot({
      channel: channel.value,
      ...(unit.value === 'F' ? { fahrenheit: value } : { celsius: value }),
      surface: surface.value,
      emissivitySet: setEmissivity(set.value),
      reflected,
    });
    if (!told) return;
    offerUndo(
      `Spot reading kept: ${formatTemperature(told.celsius, unit.value)}${told.reason ? `, ${told.reason}` : ''}`,
      null,
    );
    sheet.value = null;
  };
  return (
    <Sheet title="Spot reading">
      <div class="spot">
        <Pad digits={digits} onKeep={() => void keep()} />
        <div>
          <Choice
            legend="Of"
            name="spot-channel"
            options={
              channels.length > 0
                ? channels
                : [
                    ['stone', 'Stone'],
                    ['dome', 'Dome'],
                  ]
            }
            value={channel.value}
            onChoose={(id) => {
              channel.value = id;
            }}
          />
          <SurfaceField surface={surface} />
          <Choice
            legend="Lid"
            name="spot-lid"
            options={LID}
            value={lid.value}
            onChoose={(id) => {
              lid.value = id;
            }}
          />
          <EmissivitySet set={set} />
        </div>
      </div>
    </Sheet>
  );
}

function Pad({ digits, onKeep }: { digits: Signal<string>; onKeep(): void }): JSX.Element {
  const type = (digit: string) => (): void => {
    digits.value = (digits.value + digit).replace(/^0+(?=\d)/, '').slice(0, MOST_DIGITS);
  };
  const erase = (): void => {
    digits.value = digits.value.slice(0, -1);
  };
  const other = digits.value === '' ? '' : inOtherUnit(Number(digits.value));
  return (
    <div class="pad">
      <output class="pad-value" aria-live="polite">
        {digits.value || '–'} °{unit.value}
        <small>{other}</small>
      </output>
      {['1', '2', '3', '4', '5', '6', '7', '8', '9'].map((digit) => (
        <button type="button" key={digit} onClick={type(digit)}>
          {digit}
        </button>
      ))}
      <button type="button" onClick={erase} aria-label="Erase the last digit">
        <Icon name="undo" size={32} />
      </button>
      <button type="button" onClick={type('0')}>
        0
      </button>
      <button
        type="button"
        class="keep"
        disabled={digits.value === ''}
        data-testid="spot-keep"
        onClick={onKeep}
      >
        Keep
      </button>
    </div>
  );
}

function SurfaceField({ surface }: { surface: Signal<string> }): JSX.Element {
  const doubt = SURFACES.find((one) => one.id === surface.value)?.doubt;
  return (
    <label class="field">
      Surface
      <select
        value={surface.value}
        onChange={(event) => {
          surface.value = event.currentTarget.value;
        }}
      >
        {SURFACES.map(({ id, label }) => (
          <option key={id} value={id} selected={id === surface.value}>
            {label}
          </option>
        ))}
      </select>
      {doubt && <span role="status">Careful: {doubt}.</span>}
    </label>
  );
}

const inOtherUnit = (value: number): string =>
  unit.value === 'F' ? `${Math.round(fromFahrenheit(value))} °C` : `${Math.round(toFahrenheit(value))} °F`;

const EmissivitySet = ({ set }: { set: Signal<string> }): JSX.Element => (
  <label class="field">
    Emissivity that the thermometer is set to
    <input
      type="text"
      inputMode="decimal"
      value={set.value}
      onInput={(event) => {
        set.value = event.currentTarget.value;
      }}
    />
  </label>
);
