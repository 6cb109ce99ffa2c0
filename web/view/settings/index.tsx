import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Settings } from '../../../shared/api/api.ts';
import { setTheme, theme, type Theme } from '../../lib/theme.ts';
import { endCook, restoreCautions } from '../../stores/act/later-acts.ts';
import { now } from '../../stores/live.ts';
import { changeSettings, loadSettings, settings, unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { Choice } from '../sheet/choice.tsx';
import { lazy } from '../shell/lazy.tsx';
import { ThisScreen } from '../shell/status.tsx';
import { NumberField, TemperatureField } from './setting-fields.tsx';

const Escalation = lazy(async () => (await import('../escalation/index.tsx')).Escalation);
const Broker = lazy(async () => (await import('../broker/index.tsx')).Broker);
const Grills = lazy(async () => (await import('../grills/index.tsx')).Grills);
const Devices = lazy(async () => (await import('../devices/index.tsx')).Devices);

export function SettingsPage(): JSX.Element {
  useEffect(() => void loadSettings(), []);
  const set = settings.value;
  return (
    <div class="page settings">
      <h1>Settings</h1>
      {set ? <Form set={set} /> : <p>Fetching them …</p>}
      <Grills />
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
      <RestoreCautions />
      <Escalation />
      <Broker />
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
          label="Turn after, minutes (0: no turn)"
          value={(set.turnAfter ?? 0) / 60}
          low={0}
          high={60}
          onKeep={(minutes) =>
            changeSettings({ turnAfter: minutes === 0 ? null : Math.max(20, Math.round(minutes * 60)) })
          }
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

const RestoreCautions = (): JSX.Element => (
  <section>
    <h2>Cautions</h2>
    <p>A caution that you know is not shown again until the next cook.</p>
    <Button data-testid="restore-cautions" onClick={() => void restoreCautions()}>
      Show all cautions again
    </Button>
  </section>
);

function EndCook(): JSX.Element | null {
  const cook = now.value?.cook;
  if (!cook || cook.rehearsal) return null;
  return (
    <section>
      <h2>This cook</h2>
      <p>
        When both vents are shut, end the cook; it stays among the past ones. The coals stay hot for days: the
        grill stays outside, the ash in it until it has been cold for 48 h.
      </p>
      <Button data-testid="end-cook" onClick={() => void endCook(cook.id)}>
        End {cook.name ? `“${cook.name}”` : 'this cook'}
      </Button>
    </section>
  );
}
