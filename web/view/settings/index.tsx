import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Settings } from '../../../shared/api.ts';
import { setTheme, theme, type Theme } from '../../lib/theme.ts';
import { endCook } from '../../stores/acts.ts';
import { now } from '../../stores/live.ts';
import { changeSettings, loadSettings, settings, unit } from '../../stores/settings.ts';
import { Choice } from '../sheet/choice.tsx';
import { later } from '../shell/later.tsx';
import { ThisScreen } from '../shell/status.tsx';
import { NumberField, TemperatureField } from './fields.tsx';

const Escalation = later(async () => (await import('../escalation/index.tsx')).Escalation);
const Devices = later(async () => (await import('../devices/index.tsx')).Devices);

export function SettingsPage(): JSX.Element {
  useEffect(() => void loadSettings(), []);
  const set = settings.value;
  return (
    <div class="page settings">
      <h1>Settings</h1>
      {set ? <Form set={set} /> : <p>Fetching them …</p>}
      <h2>This screen</h2>
      <Choice
        legend="Colours"
        name="theme"
        options={[
          ['auto', 'As the device'],
          ['dusk', 'Dusk'],
          ['sunlight', 'Sunlight'],
        ]}
        value={theme.value}
        onChoose={(next: Theme) => setTheme(next)}
        testid="theme"
      />
      <ThisScreen />
      <Escalation />
      <Devices />
      <EndCook />
    </div>
  );
}

function Form({ set }: { set: Settings }): JSX.Element {
  return (
    <>
      <Choice
        legend="Temperatures in"
        name="unit"
        options={[
          ['C', '°C'],
          ['F', '°F'],
        ]}
        value={unit.value}
        onChoose={(unit) => void changeSettings({ unit })}
        testid="unit"
      />
      <Targets set={set} />
      <h2>Pizzas</h2>
      <p>
        <a class="button" href="#/stone" data-testid="to-stone">
          Stone, its setting, and what verdicts taught
        </a>
      </p>
      <div class="row">
        <NumberField
          label="Turn after, minutes"
          value={set.turnAfter / 60}
          low={0.5}
          high={60}
          onKeep={(minutes) => changeSettings({ turnAfter: Math.round(minutes * 60) })}
        />
        <NumberField
          label="Off after, minutes"
          value={set.offAfter / 60}
          low={0.5}
          high={120}
          onKeep={(minutes) => changeSettings({ offAfter: Math.round(minutes * 60) })}
        />
      </div>
      <Choice
        legend="Keep the raw frames of each cook, so that it can be replayed exactly"
        name="raw"
        options={[
          ['yes', 'Keep'],
          ['no', 'Do not keep'],
        ]}
        value={set.recordRaw ? 'yes' : 'no'}
        onChoose={(raw) => void changeSettings({ recordRaw: raw === 'yes' })}
      />
    </>
  );
}

function Targets({ set: { targets } }: { set: Settings }): JSX.Element {
  const { stone, dome = [235, 275], domeLimit } = targets;
  const change = (patch: Partial<Settings['targets']>): Promise<boolean> =>
    changeSettings({ targets: { ...targets, ...patch } });
  return (
    <>
      <h2>Bands</h2>
      <div class="row">
        <TemperatureField
          label="Stone, from"
          celsius={stone[0]}
          onKeep={(low) => change({ stone: [low, stone[1]] })}
        />
        <TemperatureField
          label="Stone, to"
          celsius={stone[1]}
          onKeep={(high) => change({ stone: [stone[0], high] })}
        />
        <TemperatureField
          label="Dome, from"
          celsius={dome[0]}
          onKeep={(low) => change({ dome: [low, dome[1]] })}
        />
        <TemperatureField
          label="Dome, to"
          celsius={dome[1]}
          onKeep={(high) => change({ dome: [dome[0], high] })}
        />
        <TemperatureField
          label="Dome never above"
          celsius={domeLimit ?? 370}
          onKeep={(limit) => change({ domeLimit: limit })}
        />
      </div>
    </>
  );
}

function EndCook(): JSX.Element | null {
  const cook = now.value?.cook;
  if (!cook || cook.rehearsal) return null;
  return (
    <section>
      <h2>This cook</h2>
      <p>When the fire is out, end the cook; it stays among the past ones.</p>
      <button type="button" class="button" data-testid="end-cook" onClick={() => void endCook(cook.id)}>
        End “{cook.name}”
      </button>
    </section>
  );
}
