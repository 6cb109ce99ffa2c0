import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { Probe } from '../../../shared/probe.ts';
import type { DeviceValue } from '../../../shared/api/devices.ts';
import {
  choices,
  giveProbe,
  places,
  renameProbe,
  setConversion,
  setTolerance,
} from '../../stores/probes/device-list.ts';
import { isElectrical } from '../../stores/probes/device-words.ts';
import { unit } from '../../stores/settings.ts';
import { Button, Form } from '../button/index.tsx';
import { Choice } from '../sheet/choice.tsx';
import { Calibrate } from './calibrate.tsx';
import { ConversionForm } from './conversion.tsx';
import { TextField } from '../sheet/fields.tsx';

type Props = { probe: Probe; value: DeviceValue | undefined };

/** All that can be said of one probe. */
export function Setup({ probe, value }: Props): JSX.Element {
  return (
    <div class="setup" data-testid="setup">
      <Choice
        legend="It measures"
        name={`channel ${probe.id}`}
        options={[...places.value, ['', 'Not used'] as const]}
        value={probe.channel ?? ''}
        onChoose={(channel) => void giveProbe(probe, channel || null)}
      />
      <Name probe={probe} />
      <Tolerance probe={probe} />
      {(probe.conversion !== undefined || (value && isElectrical(value))) && (
        <>
          <h3>Which sensor</h3>
          <ConversionForm
            name={probe.id}
            quantity={value?.quantity ?? (probe.conversion?.kind === 'thermocouple' ? 'millivolt' : 'ohm')}
            conversion={probe.conversion}
            onKeep={(conversion) => void setConversion(probe, conversion)}
          />
        </>
      )}
      <Calibrate probe={probe} value={value} />
    </div>
  );
}

function Name({ probe }: { probe: Probe }): JSX.Element {
  const name = useSignal(probe.name ?? '');
  return (
    <Form class="row" onSend={() => void renameProbe(probe, name.value.trim().slice(0, 80))}>
      <TextField label="Your name for it" bind={name} testid="probe-name" wide />
      <Button type="submit">Rename</Button>
    </Form>
  );
}

/** ± of a new sensor of a class, said at 270 °C, where a stone bakes. */
function Tolerance({ probe }: { probe: Probe }): JSX.Element {
  return (
    <label class="field">
      Tolerance class of the sensor, as its maker says it
      <select
        value={probe.tolerance ?? ''}
        data-testid="tolerance"
        onChange={(event) => void setTolerance(probe, event.currentTarget.value)}
      >
        <option value="">Not known</option>
        {choices.value?.tolerances.map(({ name, within, at }) => (
          <option key={name} value={name}>
            {name}: {textInUnit(`±${within.toFixed(1)} °C at ${at} °C`, unit.value)}
            {at < 270 && ', the end of the class'}
          </option>
        ))}
      </select>
    </label>
  );
}
