import { useSignal, type Signal } from '@preact/signals';
import type { ComponentChildren, JSX } from 'preact';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { Probe } from '../../../shared/probe.ts';
import type { Calibrate as How, DeviceValue } from '../../../shared/api/devices.ts';
import { fromFahrenheit } from '../../../shared/units.ts';
import { formatTemperature, inUnit } from '../../lib/format.ts';
import { calibrateProbe, choices, placeName, probes } from '../../stores/probes/device-list.ts';
import { numberOf } from '../../stores/probes/device-words.ts';
import { unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { Choice } from '../sheet/choice.tsx';
import { TextField, SelectField } from '../sheet/fields.tsx';
import { CheckedForm } from './checked-form.tsx';

type By = How['by'];
const METHODS = [
  ['offset', 'One known temperature'],
  ['ice-and-boiling', 'Ice and boiling water'],
  ['probe', 'Against another probe'],
  ['nothing', 'Not at all'],
] as const satisfies readonly (readonly [By, string])[];

type Props = { probe: Probe; value: DeviceValue | undefined };

/** Corrects a probe, and says what that is worth where a stone bakes. */
export function Calibrate({ probe, value }: Props): JSX.Element {
  const by = useSignal<By | null>(null);
  const apply = (how: How): void => void calibrateProbe(probe, how);
  const parts = { probe, apply, reads: uncorrected(probe, value) };
  return (
    <div class="calibrate">
      <h3>Calibration</h3>
      <p data-testid="calibration">
        {probe.calibration
          ? `Corrected: ${textInUnit(probe.calibration.how ?? 'by hand', unit.value)}.`
          : 'It is taken as it reads.'}
      </p>
      <Choice
        legend="Correct it by"
        name={`calibrate ${probe.id}`}
        options={METHODS}
        value={by.value}
        onChoose={(next) => {
          by.value = next;
          if (next === 'nothing' && probe.calibration) void calibrateProbe(probe, { by: 'nothing' });
        }}
        testid="calibrate"
      />
      {by.value === 'offset' && <Offset {...parts} />}
      {by.value === 'ice-and-boiling' && <IceAndBoiling {...parts} />}
      {by.value === 'probe' && <Against {...parts} />}
    </div>
  );
}

/** What it reads now before its present correction, °C. */
function uncorrected({ calibration }: Probe, value: DeviceValue | undefined): number | null {
  if (value?.celsius == null) return null;
  const { gain = 1, offset = 0 } = calibration ?? {};
  return (value.celsius - offset) / gain;
}

type PartProps = { probe: Probe; reads: number | null; apply(how: How): void };

/** A typed temperature → °C; null where it is no number. */
function celsiusOf(text: string): number | null {
  const typed = numberOf(text);
  return typed === null ? null : unit.value === 'F' ? fromFahrenheit(typed) : typed;
}

type FormProps = Pick<PartProps, 'apply'> & { make(): How | string; children: ComponentChildren };

const Correction = ({ make, apply, children }: FormProps): JSX.Element => (
  <CheckedForm make={make} onMade={apply} button="Apply this correction" testid="apply-calibration">
    {children}
  </CheckedForm>
);

type ReadsProps = { label: string; value: Signal<string>; now: number | null };

/** A temperature that may be taken from the probe as it stands. */
function Reads({ label, value, now }: ReadsProps): JSX.Element {
  const take = (): void => {
    if (now !== null) value.value = inUnit(now, unit.value).toFixed(1);
  };
  return (
    <div class="reads">
      <TextField
        label={`${label}, °${unit.value}`}
        bind={value}
        testid={`calibrate ${label}`.replaceAll(' ', '-')}
        kind="decimal"
      />
      <Button disabled={now === null} onClick={take}>
        {now === null ? 'Reads nothing now' : `Reads ${inUnit(now, unit.value).toFixed(1)}° now: take it`}
      </Button>
    </div>
  );
}

const NUMBERS = 'Write each temperature as a number.';

function Offset({ reads, apply }: PartProps): JSX.Element {
  const read = useSignal('');
  const truth = useSignal('');
  const make = (): How | string => {
    const [was, is] = [celsiusOf(read.value), celsiusOf(truth.value)];
    return was === null || is === null ? NUMBERS : { by: 'offset', read: was, truth: is };
  };
  return (
    <Correction make={make} apply={apply}>
      <p>
        Everything is shifted by the difference. That holds near the temperature where it was found; far from
        it nobody knows, so find it near {formatTemperature(270, unit.value)} where you can.
      </p>
      <Reads label="It reads" value={read} now={reads} />
      <TextField
        label={`True temperature, °${unit.value}`}
        bind={truth}
        testid="calibrate-truth"
        kind="decimal"
      />
    </Correction>
  );
}

type Known = 'altitude' | 'pressure' | 'seaLevelPressure';
const KNOWN = [
  ['altitude', 'the altitude'],
  ['pressure', 'the air pressure here'],
  ['seaLevelPressure', 'altitude and a forecast’s pressure'],
] as const;

type Place = { known: string; altitude: string; pressure: string };

/** What is known of the place as the calibration takes it, or what is wrong with it. */
function placeOf({ known, altitude, pressure }: Place): object | string {
  const [metres, hectopascals] = [numberOf(altitude), numberOf(pressure)];
  if (known !== 'pressure' && metres === null) return 'Write the altitude in metres.';
  if (known !== 'altitude' && hectopascals === null) return 'Write the air pressure in hPa, such as 1013.';
  const pascals = (hectopascals ?? 0) * 100;
  if (known === 'pressure') return { pressure: pascals };
  return known === 'altitude' ? { altitude: metres } : { altitude: metres, seaLevelPressure: pascals };
}

function IceAndBoiling({ reads, apply }: PartProps): JSX.Element {
  const ice = useSignal('');
  const boiling = useSignal('');
  const known = useSignal<string>('altitude');
  const altitude = useSignal('');
  const pressure = useSignal('');
  const make = (): How | string => {
    const [cold, hot] = [celsiusOf(ice.value), celsiusOf(boiling.value)];
    if (cold === null || hot === null) return NUMBERS;
    const place = placeOf({ known: known.value, altitude: altitude.value, pressure: pressure.value });
    return typeof place === 'string' ? place : { by: 'ice-and-boiling', ice: cold, boiling: hot, ...place };
  };
  return (
    <Correction make={make} apply={apply}>
      <p>
        Stir it in crushed ice with water until it stands still, then in water at a rolling boil. Water boils
        lower the higher you are.
      </p>
      <Reads label="In ice it reads" value={ice} now={reads} />
      <Reads label="Boiling it reads" value={boiling} now={reads} />
      <div class="row">
        <SelectField label="Known of the place" options={KNOWN} bind={known} testid="calibrate-known" />
        {known.value !== 'pressure' && (
          <TextField label="Altitude, m" bind={altitude} testid="calibrate-altitude" kind="decimal" />
        )}
        {known.value !== 'altitude' && (
          <TextField label="Pressure, hPa" bind={pressure} testid="calibrate-pressure" kind="decimal" />
        )}
      </div>
      <Worth known={known.value} />
    </Correction>
  );
}

function Worth({ known }: { known: string }): JSX.Element {
  const worth = choices.value?.worth[known as Known]; // of the three in KNOWN
  return (
    <p data-testid="calibration-worth">
      {worth !== undefined &&
        `Done with care this is worth ${textInUnit(`±${worth.toFixed(1)} °C at 270 °C`, unit.value)}, the sensor’s own bend aside: an error at boiling grows 2.7 times on the way there.`}
    </p>
  );
}

function Against({ probe, apply }: PartProps): JSX.Element {
  const others = probes.value.filter((candidate) => candidate.id !== probe.id && candidate.channel !== null);
  const other = useSignal(others[0]?.id ?? '');
  if (probe.channel === null || others.length === 0)
    return <p>This needs a second probe: give both to a place, let a cook run and keep them side by side.</p>;
  return (
    <Correction make={() => ({ by: 'probe', other: other.value })} apply={apply}>
      <p>
        Keep both in the same place, steady, for five minutes. It is then as good as the other one where they
        were compared, and no better beyond.
      </p>
      <SelectField
        label="The other"
        options={others.map((probe) => [probe.id, probe.name ?? placeName(probe.channel)] as const)}
        bind={other}
      />
    </Correction>
  );
}
