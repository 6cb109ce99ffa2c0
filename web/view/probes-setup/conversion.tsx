import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { Conversion } from '../../../shared/probe.ts';
import { numberOf, writeNumber } from '../../stores/probes/device-words.ts';
import { Choice } from '../sheet/choice.tsx';
import { SelectField, TextField } from '../sheet/fields.tsx';
import { CheckedForm } from './checked-form.tsx';

type Props = {
  name: string;
  quantity: string;
  conversion: Conversion | undefined;
  onKeep(conversion: Conversion): void;
};

type Sensor = 'thermocouple' | 'Pt100' | 'Pt1000' | 'platinum' | 'ntc';

const OF_OHMS = [
  ['Pt100', 'Pt100'],
  ['Pt1000', 'Pt1000'],
  ['platinum', 'Other platinum'],
  ['ntc', 'NTC thermistor'],
] as const satisfies readonly (readonly [Sensor, string])[];
const OF_MILLIVOLTS = [['thermocouple', 'Thermocouple']] as const;

/** Of which sensor volts or ohms are, with the numbers that its published function needs. */
export function ConversionForm({ name, quantity, conversion, onKeep }: Props): JSX.Element {
  const sensor = useSignal<Sensor>(sensorOf(quantity, conversion));
  const ready = useRef<() => Conversion | string>(() => '');
  const options: readonly (readonly [Sensor, string])[] = quantity === 'ohm' ? OF_OHMS : OF_MILLIVOLTS;
  const of = { conversion, ready };
  return (
    <CheckedForm
      class="conversion"
      make={() => ready.current()}
      onMade={onKeep}
      button="Use this sensor"
      testid="keep-sensor"
    >
      <Choice legend="Sensor" name={`sensor ${name}`} options={options} bind={sensor} testid="sensor" />
      {sensor.value === 'thermocouple' && <Couple {...of} />}
      {sensor.value === 'ntc' && <Ntc {...of} name={name} />}
      {/* Each its own, so that the resistance at 0 °C follows the choice. */}
      {/^Pt|platinum/.test(sensor.value) && <Platinum key={sensor.value} sensor={sensor.value} {...of} />}
    </CheckedForm>
  );
}

function sensorOf(quantity: string, conversion: Conversion | undefined): Sensor {
  if (conversion?.kind === 'ntc') return 'ntc';
  if (quantity !== 'ohm') return 'thermocouple';
  const r0 = conversion?.['r0'] ?? 100;
  return r0 === 100 ? 'Pt100' : r0 === 1000 ? 'Pt1000' : 'platinum';
}

/** A part of the form tells by `ready` what it makes of its fields, or what is wrong with them. */
type Part = { conversion: Conversion | undefined; ready: { current: () => Conversion | string } };

const asText = (value: unknown, otherwise: string): string =>
  typeof value === 'number' ? writeNumber(value) : typeof value === 'string' ? value : otherwise;

const TYPES = ['K', 'J', 'N', 'T'].map((type) => [type, `Type ${type}`] as const);

function Couple({ conversion, ready }: Part): JSX.Element {
  const type = useSignal(asText(conversion?.['type'], 'K'));
  const junction = useSignal(asText(conversion?.['junction'], ''));
  ready.current = () => {
    const typed = junction.value.trim();
    return {
      kind: 'thermocouple',
      type: type.value,
      ...(typed !== '' && { junction: numberOf(typed) ?? typed }),
    };
  };
  return (
    <div class="row">
      <SelectField label="Type" options={TYPES} bind={type} testid="couple-type" />
      <TextField
        label="Cold junction: fixed °C, or the name of the value that tells it"
        hint="as the device tells it"
        bind={junction}
        wide
      />
    </div>
  );
}

function Platinum({ sensor, conversion, ready }: Part & { sensor: Sensor }): JSX.Element {
  const fixed = sensor === 'Pt100' ? '100' : sensor === 'Pt1000' ? '1000' : null;
  const r0 = useSignal(fixed ?? asText(conversion?.['r0'], '500'));
  const lead = useSignal(asText(conversion?.['lead'], '0'));
  ready.current = () => {
    const [zero, wires] = [numberOf(r0.value), numberOf(lead.value)];
    if (zero === null || wires === null) return 'Both resistances are numbers, in ohms.';
    return { kind: 'platinum', r0: zero, lead: wires };
  };
  return (
    <div class="row">
      {fixed === null && <TextField label="Resistance at 0 °C, Ω" bind={r0} kind="decimal" />}
      <TextField
        label="Resistance of both leads, Ω (0 where the board takes it off)"
        bind={lead}
        kind="decimal"
      />
    </div>
  );
}

type Model = 'beta' | 'points' | 'steinhart-hart';
const MODELS = [
  ['beta', 'Beta value'],
  ['points', 'Three points'],
  ['steinhart-hart', 'Steinhart–Hart'],
] as const;

function Ntc({ conversion, ready, name }: Part & { name: string }): JSX.Element {
  const before = conversion?.['model'];
  const model = useSignal<Model>(before === 'points' || before === 'steinhart-hart' ? before : 'beta');
  return (
    <>
      <Choice legend="Known by its" name={`model ${name}`} options={MODELS} bind={model} />
      <NtcFields key={model.value} model={model.value} conversion={conversion} ready={ready} />
    </>
  );
}

/** [option, label, usual] of each number; points are flattened. */
const NTC_FIELDS: Record<Model, readonly (readonly [key: string, label: string, usual: string])[]> = {
  beta: [
    ['beta', 'Beta, K', '3950'],
    ['r0', 'Resistance, Ω', '100000'],
    ['t0', 'at, °C', '25'],
  ],
  'steinhart-hart': [
    ['a', 'a', ''],
    ['b', 'b', ''],
    ['c', 'c', '0'],
  ],
  points: [
    ['celsius1', 'First point, °C', '0'],
    ['ohm1', 'Ω', ''],
    ['celsius2', 'Second point, °C', '100'],
    ['ohm2', 'Ω', ''],
    ['celsius3', 'Third point, °C', '250'],
    ['ohm3', 'Ω', ''],
  ],
};

function NtcFields({ model, conversion, ready }: Part & { model: Model }): JSX.Element {
  const fields = NTC_FIELDS[model];
  const texts = useSignal<Record<string, string>>(
    Object.fromEntries(fields.map(([key, , usual]) => [key, asText(flat(conversion)[key], usual)])),
  );
  ready.current = () => {
    const numbers = Object.fromEntries(fields.map(([key]) => [key, numberOf(texts.value[key] ?? '')]));
    const lacking = fields.find(([key]) => numbers[key] === null);
    if (lacking) return `Write a number for “${lacking[1]}”.`;
    if (model !== 'points') return { kind: 'ntc', model, ...numbers };
    const points = [1, 2, 3].map((i) => ({ celsius: numbers[`celsius${i}`], ohm: numbers[`ohm${i}`] }));
    return { kind: 'ntc', model, points };
  };
  return (
    <div class="row points">
      {fields.map(([key, label]) => (
        <TextField
          key={key}
          label={label}
          kind="decimal"
          value={texts.value[key] ?? ''}
          testid={`ntc-${key}`}
          onType={(text) => {
            texts.value = { ...texts.value, [key]: text };
          }}
        />
      ))}
    </div>
  );
}

/** Points of a conversion as the fields name them. */
function flat(conversion: Conversion | undefined): Record<string, unknown> {
  const points = conversion?.['points'];
  if (!Array.isArray(points)) return { ...conversion };
  const each = points as { celsius: number; ohm: number }[]; // the server's own schema has them so
  return Object.fromEntries(
    each.flatMap(({ celsius, ohm }, i) => [
      [`celsius${i + 1}`, celsius],
      [`ohm${i + 1}`, ohm],
    ]),
  );
}
