import { useSignal, type Signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import { fromFahrenheit, toFahrenheit } from '../../../shared/units.ts';
import { doubtWords, enterLook, isPlausible, nearValue, surfaceWords } from '../../stores/look-entry.ts';
import { changeSettings, unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { QUESTION_REST_MS, useRest } from '../sheet/use-rest.ts';

const MAX_DIGITS = 4;
const STEPS = [-10, -1, 1, 10] as const;

/** Steps begin here where nothing is known. */
const START_CELSIUS = 20;

type Props = { channel: string; done(): void };

/** A number near what it will be, to be kept, stepped or typed over: one hand is enough. */
export function LookEntry({ channel, done }: Props): JSX.Element {
  const near = nearValue(channel);
  const value = useSignal(near ?? START_CELSIUS);
  // With nothing to be near to there is nothing to be kept by a slip.
  const typed = useSignal<string | null>(near === null ? '' : null);
  /** The number that was asked about; another one is another question. */
  const asked = useSignal<number | null>(null);
  const isUsable = typed.value !== '' && isPlausible(value.value);
  const doubt = isUsable && asked.value === value.value ? doubtWords(channel, value.value) : null;
  const send = async (): Promise<void> => {
    if (await enterLook(channel, value.value)) done();
  };
  const keep = (): void => {
    if (doubtWords(channel, value.value) === null) void send();
    else asked.value = value.value;
  };
  const correct = (): void => {
    asked.value = null;
    typed.value = '';
  };
  return (
    <div class="look-entry">
      <div class="look-steps">
        {STEPS.slice(0, 2).map((by) => (
          <Step key={by} by={by} value={value} typed={typed} />
        ))}
        <output class="look-value" aria-live="polite" data-testid="look-value">
          <span>
            {typed.value === '' ? '–' : (typed.value ?? value.value)}
            <span class="look-unit"> °{unit.value}</span>
          </span>
          <small>{isUsable ? inOtherUnit(value.value) : 'type it'}</small>
        </output>
        {STEPS.slice(2).map((by) => (
          <Step key={by} by={by} value={value} typed={typed} />
        ))}
      </div>
      <p class={`look-surface ${doubt ? 'asks' : ''}`} aria-live="assertive" data-testid="look-surface">
        {doubt ?? (isUsable ? surfaceWords(channel, value.value) : null)}
      </p>
      {doubt ? (
        <Doubted value={value.value} correct={correct} send={() => void send()} />
      ) : (
        <Button look="strong look-keep" disabled={!isUsable} data-testid="spot-keep" onClick={keep}>
          <Icon name="check" size={30} /> Keep {isUsable ? `${value.value} °${unit.value}` : ''}
        </Button>
      )}
      <Pad value={value} typed={typed} mayChooseUnit={near === null} />
    </div>
  );
}

type DoubtedProps = { value: number; correct(): void; send(): void };

/** In the place of the key that was tapped, and at rest at first: a second tap of it sends nothing. */
function Doubted({ value, correct, send }: DoubtedProps): JSX.Element {
  const element = useRef<HTMLDivElement>(null);
  const isResting = useRest(QUESTION_REST_MS, element);
  return (
    <div class="look-doubted" ref={element} inert={isResting}>
      <Button look="strong look-keep" autofocus data-testid="look-correct" onClick={correct}>
        <Icon name="undo" size={30} /> Correct it
      </Button>
      <Button look="look-keep" data-testid="look-send" onClick={send}>
        Send {value} all the same
      </Button>
    </div>
  );
}

type Entered = { value: Signal<number>; typed: Signal<string | null> };

const Step = ({ by, value, typed }: Entered & { by: number }): JSX.Element => (
  <Button
    data-testid={`look-${by > 0 ? 'up' : 'down'}-${Math.abs(by)}`}
    onClick={() => {
      typed.value = null;
      value.value += by;
    }}
  >
    {by > 0 ? '+' : '−'}
    {Math.abs(by)}
  </Button>
);

/** Typing begins anew; the number that stood there was only near. */
function Pad({ value, typed, mayChooseUnit }: Entered & { mayChooseUnit: boolean }): JSX.Element {
  const put = (text: string): void => {
    typed.value = text.replace(/^0+(?=\d)/, '').slice(0, MAX_DIGITS);
    value.value = Number(typed.value);
  };
  return (
    <div class="pad">
      {['1', '2', '3', '4', '5', '6', '7', '8', '9'].map((digit) => (
        <button type="button" key={digit} onClick={() => put((typed.value ?? '') + digit)}>
          {digit}
        </button>
      ))}
      <button
        type="button"
        onClick={() => put((typed.value ?? String(value.value)).slice(0, -1))}
        aria-label="Erase the last digit"
      >
        <Icon name="undo" size={28} />
      </button>
      <button type="button" onClick={() => put(`${typed.value ?? ''}0`)}>
        0
      </button>
      {mayChooseUnit && <OtherUnit />}
    </div>
  );
}

/** Where nothing was read yet, the unit that was taken from this screen's language can be changed beside the digits. */
function OtherUnit(): JSX.Element {
  const other = unit.value === 'F' ? 'C' : 'F';
  return (
    <button
      type="button"
      data-testid="look-other-unit"
      aria-label={`Read in °${other} instead`}
      onClick={() => void changeSettings({ unit: other })}
    >
      in °{other}
    </button>
  );
}

const inOtherUnit = (value: number): string =>
  unit.value === 'F' ? `${Math.round(fromFahrenheit(value))} °C` : `${Math.round(toFahrenheit(value))} °F`;
