import { computed, useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import { SURFACES } from '../../../shared/evening/surface.ts';
import { channels, emissivity, LID, lid, rememberLook, roleOf, surface } from '../../stores/look-entry.ts';
import { sheet } from '../../stores/screen.ts';
import { now } from '../../stores/live.ts';
import { unit } from '../../stores/settings.ts';
import { Choice } from '../sheet/choice.tsx';
import { TextField } from '../sheet/fields.tsx';
import { Sheet } from '../sheet/index.tsx';
import { LookEntry } from './entry.tsx';

const close = (): void => {
  sheet.value = null;
};

/** What an infrared thermometer reads. */
export function SpotSheet(): JSX.Element {
  const channel = useSignal('stone');
  return (
    <Sheet title="What does it read?">
      <LidFirst />
      <Choice legend="Look at" name="spot-channel" options={channels.value} bind={channel} />
      <LookEntry key={channel.value} channel={channel.value} done={close} />
      <How isHidden={roleOf(channel.value) !== 'stone'} />
    </Sheet>
  );
}

const first = computed(() => now.value?.lidHazard?.text);

const LidFirst = (): JSX.Element | null =>
  first.value === undefined ? null : (
    <p class="look-first" data-testid="look-first">
      {first}
    </p>
  );

/** Only of the stone; its place stays, so that no key moves under the finger. */
const How = ({ isHidden }: { isHidden: boolean }): JSX.Element => (
  <details class={`look-how ${isHidden ? 'hidden' : ''}`} inert={isHidden}>
    <summary>How it was looked at</summary>
    <SurfaceField />
    <Choice
      legend="Lid"
      name="spot-lid"
      options={LID}
      value={lid.value}
      onChoose={(id) => {
        lid.value = id;
        rememberLook();
      }}
    />
    <EmissivitySet />
  </details>
);

function SurfaceField(): JSX.Element {
  const doubt = SURFACES.find(({ id }) => id === surface.value)?.doubt;
  return (
    <label class="field">
      Surface
      <select
        value={surface.value}
        onChange={(event) => {
          surface.value = event.currentTarget.value;
          rememberLook();
        }}
      >
        {SURFACES.map(({ id, label }) => (
          <option key={id} value={id} selected={id === surface.value}>
            {label}
          </option>
        ))}
      </select>
      {doubt && <span role="status">Careful: {textInUnit(doubt, unit.value)}.</span>}
    </label>
  );
}

const EmissivitySet = (): JSX.Element => (
  <TextField
    label="Emissivity that the thermometer is set to"
    kind="decimal"
    value={emissivity.value}
    onType={(text) => {
      emissivity.value = text;
      rememberLook();
    }}
  />
);
