import { useSignal, type Signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { LiveChannel } from '../../../shared/live.ts';
import type { Probe } from '../../../shared/probe.ts';
import type { ReachDevice, ReachValue } from '../../../shared/reach.ts';
import { elapsed, freshness, now } from '../../stores/live.ts';
import { choices, forgetProbe, placeName, probes, reach, swapProbes } from '../../stores/reach.ts';
import { deviceIdOf, deviceWords, formatTenths, nameOf, trustWords } from '../../stores/reach-words.ts';
import { unit } from '../../stores/settings.ts';
import { Icon } from '../icon/index.tsx';
import { Setup } from '../probes-setup/index.tsx';

/** The probes that a person has set up, the stone's first. */
export function Mine(): JSX.Element {
  const order = (probe: Probe): number => ['stone', 'dome'].indexOf(probe.channel ?? '') >>> 0;
  const sorted = [...probes.value].sort((a, b) => order(a) - order(b));
  const [stone, dome] = ['stone', 'dome'].map((id) => sorted.find((one) => one.channel === id));
  return (
    <section>
      {sorted.length === 0 && (
        <p class="first-step">
          Nothing is given to the stone or the dome yet. Find its value below and tap where it is.
        </p>
      )}
      <ul class="mine">
        {sorted.map((probe) => (
          <Card key={probe.id} probe={probe} />
        ))}
      </ul>
      {stone && dome && (
        <button type="button" class="button" data-testid="swap" onClick={() => void swapProbes(stone, dome)}>
          <Icon name="swap" /> Swap stone and dome
        </button>
      )}
    </section>
  );
}

/** Older than this, a value is not of now, s. */
const OLD_SECONDS = 30;
const isAway = (device: ReachDevice | undefined): boolean => !device || device.link === 'lost';

type Found = { device: ReachDevice | undefined; value: ReachValue | undefined };

function find(probe: Probe): Found {
  const id = deviceIdOf(probe.address);
  const device = reach.value?.devices.find((one) => one.id === id);
  return { device, value: device?.values.find((one) => one.probe === probe.id) };
}

function Card({ probe }: { probe: Probe }): JSX.Element {
  const isOpen = useSignal(false);
  const { device, value } = find(probe);
  const name = probe.name ?? (device ? nameOf(device) : deviceIdOf(probe.address));
  const channel = now.value?.channels.find((one) => probe.channel !== null && one.id === probe.channel);
  // A number that stands still is told from one that is of now.
  const isOld = isAway(device) || (value?.age ?? 0) > OLD_SECONDS;
  return (
    <li
      class={`probe ${probe.channel ?? 'unused'} ${channel?.quality ?? ''} ${isOld ? 'old' : ''}`}
      data-testid={`probe-${probe.channel ?? 'unused'}`}
    >
      <h2>
        {probe.channel !== null && <span class="swatch" aria-hidden="true" />}
        {placeName(probe.channel)}
      </h2>
      <p class="probe-value">{formatTenths(value?.celsius ?? null, unit.value)}</p>
      <p class="probe-name">
        {name}
        {value && value.label !== name && `, ${value.label}`}
      </p>
      <Trust channel={channel} device={device} />
      <p class="probe-words">
        {[...about(probe), ...(device ? deviceWords(device).slice(1) : [])].join(' · ')}
      </p>
      <Acts probe={probe} name={name} isOpen={isOpen} />
      {isOpen.value && <Setup probe={probe} value={value} />}
    </li>
  );
}

type ActsProps = { probe: Probe; name: string; isOpen: Signal<boolean> };

const Acts = ({ probe, name, isOpen }: ActsProps): JSX.Element => (
  <div class="row">
    <button
      type="button"
      class="button"
      aria-expanded={isOpen.value}
      data-testid="set-up"
      onClick={() => {
        isOpen.value = !isOpen.value;
      }}
    >
      <Icon name="settings" /> Set up
    </button>
    <button
      type="button"
      class="button plain"
      data-testid="forget"
      aria-label={`Forget ${name}`}
      onClick={() => void forgetProbe(probe, name)}
    >
      <Icon name="bin" /> Forget
    </button>
  </div>
);

/** What was said of it: "±2.0 °C at 270 °C (K class 2) · corrected: ice …". */
function about({ tolerance, calibration }: Probe): string[] {
  const found = choices.value?.tolerances.find((one) => one.name === tolerance);
  const within = found ? [`±${found.within.toFixed(1)} °C at ${found.at} °C (${found.name})`] : [];
  return calibration ? [...within, `corrected: ${calibration.how ?? 'by hand'}`] : within;
}

/** The quality of what it says, and the reason in words. */
function Trust({
  channel,
  device,
}: {
  channel: LiveChannel | undefined;
  device: ReachDevice | undefined;
}): JSX.Element {
  if (isAway(device))
    return (
      <p class="trust doubt" data-testid="trust">
        <Icon name="lost" size={22} /> {device?.problem ?? 'It is not in reach.'} {device?.mend}
      </p>
    );
  if (!channel) return <p class="trust">The cook does not use it.</p>;
  const fresh = freshness(channel, elapsed.value);
  const isGood = channel.quality === 'good' && !fresh.stale;
  return (
    <p class={`trust ${isGood ? '' : 'doubt'}`} data-testid="trust">
      <Icon name={isGood ? 'check' : 'warning'} size={22} />
      {trustWords(channel, fresh)}
    </p>
  );
}
