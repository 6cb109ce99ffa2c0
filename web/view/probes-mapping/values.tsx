import type { JSX } from 'preact';
import { NUMBER_TYPES, UNIT_NAMES, type NumberType, type UnitName } from '../../../shared/number.ts';
import { freshValue, valueAt, withValue, type DraftValue } from '../../stores/probes/mapping-draft.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { Choice } from '../sheet/choice.tsx';
import { SelectField, TextField } from '../sheet/fields.tsx';
import type { DraftProps } from './draft-props.ts';

const TYPE_WORDS: Record<NumberType, string> = {
  u8: 'u8: 1 byte',
  s8: 's8: 1 byte with sign',
  u16: 'u16: 2 bytes',
  s16: 's16: 2 bytes with sign',
  u24: 'u24: 3 bytes',
  s24: 's24: 3 bytes with sign',
  u32: 'u32: 4 bytes',
  s32: 's32: 4 bytes with sign',
  float32: 'float32: IEEE 754, 4 bytes',
  float64: 'float64: IEEE 754, 8 bytes',
  sfloat: 'SFLOAT: IEEE 11073, 2 bytes',
  float: 'FLOAT: IEEE 11073, 4 bytes',
};
const UNIT_WORDS: Record<UnitName, string> = {
  C: '°C',
  F: '°F',
  K: 'kelvin',
  uV: 'µV',
  mV: 'mV',
  V: 'V',
  ohm: 'Ω',
  kohm: 'kΩ',
  junction: '°C of the cold junction',
  percent: '% of the battery',
};

/** How the marked bytes are a number, and what the number is. */
export function Values({ draft, edit }: DraftProps): JSX.Element {
  const value = valueAt(draft);
  const set: SetValue = (patch) => edit(withValue(draft, patch));
  return (
    <section class="step">
      <h2>3 · How these bytes are a number</h2>
      {draft.values.length > 1 && (
        <Choice
          legend="Value"
          name="mapping-value"
          options={draft.values.map((value, i) => [String(i), value.part || `Value ${i + 1}`] as const)}
          value={String(draft.at)}
          onChoose={(at) => edit({ at: Number(at) })}
        />
      )}
      <div class="row">
        <Numbers value={value} set={set} />
        <Words draft={draft} edit={edit} set={set} />
      </div>
      <More draft={draft} edit={edit} />
    </section>
  );
}

type SetValue = (patch: Partial<DraftValue>) => void;

const Numbers = ({ value, set }: { value: DraftValue; set: SetValue }): JSX.Element => (
  <>
    <SelectField
      label="Type"
      options={NUMBER_TYPES.map((type) => [type, TYPE_WORDS[type]] as const)}
      value={value.type}
      onChoose={(type) => set({ type })}
      testid="mapping-type"
    />
    <SelectField
      label="Byte order"
      options={[
        ['little', 'little end first'],
        ['big', 'big end first'],
      ]}
      value={value.order}
      onChoose={(order) => set({ order })}
      testid="mapping-order"
    />
    <TextField
      label="Times (scale)"
      value={value.scale}
      onType={(scale) => set({ scale })}
      testid="mapping-scale"
    />
    <TextField
      label="Plus (shift)"
      value={value.shift}
      onType={(shift) => set({ shift })}
      testid="mapping-shift"
    />
    <SelectField
      label="That is in"
      options={UNIT_NAMES.map((name) => [name, UNIT_WORDS[name]] as const)}
      value={value.unit}
      onChoose={(unit) => set({ unit })}
      testid="mapping-unit"
    />
  </>
);

function Words({ draft, edit, set }: DraftProps & { set: SetValue }): JSX.Element {
  const value = valueAt(draft);
  return (
    <>
      <TextField
        label="Raw numbers that mean “nothing plugged in”"
        value={value.nothing}
        onType={(nothing) => set({ nothing })}
        testid="mapping-nothing"
      />
      <TextField
        label="Name of the value, where there are several"
        value={value.part}
        onType={(part) => set({ part })}
        testid="mapping-part"
      />
      <TextField
        label="Only frames that begin with these bytes"
        value={draft.begins}
        onType={(begins) => edit({ begins })}
        testid="mapping-begins"
      />
    </>
  );
}

const More = ({ draft, edit }: DraftProps): JSX.Element => (
  <div class="row">
    <Button
      disabled={draft.values.length >= 32}
      onClick={() => {
        const n = draft.values.length;
        const values = draft.values.map((value, i) =>
          value.part ? value : { ...value, part: String(i + 1) },
        );
        edit({ values: [...values, freshValue(String(n + 1))], at: n });
      }}
    >
      <Icon name="plus" /> Another value of the same bytes
    </Button>
    {draft.values.length > 1 && (
      <Button
        look="plain"
        onClick={() => edit({ values: draft.values.filter((_, i) => i !== draft.at), at: 0 })}
      >
        <RareIcon name="bin" /> Take this value out
      </Button>
    )}
  </div>
);
