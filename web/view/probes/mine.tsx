import { useSignal, type Signal } from '@preact/signals';
import type { JSX } from 'preact';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { LiveChannel } from '../../../shared/api/live.ts';
import type { Probe } from '../../../shared/probe.ts';
import type { ListedDevice, DeviceValue } from '../../../shared/api/devices.ts';
import { freshness, qualityWords } from '../../stores/derive/quality-words.ts';
import { elapsed, now } from '../../stores/live.ts';
import {
  choices,
  forgetProbe,
  placeName,
  probes,
  deviceList,
  swapProbes,
} from '../../stores/probes/device-list.ts';
import { deviceIdOf, deviceWords, formatTenths, nameOf } from '../../stores/probes/device-words.ts';
import { unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { Setup } from '../probes-setup/index.tsx';
import { formatAge } from '../../lib/format.ts';

/** The channels that another program's posted readings fill now. */
const postedChannels = (): readonly LiveChannel[] =>
  (now.value?.channels ?? []).filter(({ source }) => source === 'http');

/** Readings that another program posts are in use as a probe's are, though no device stands behind them here. */
function Posted({ channel }: { channel: LiveChannel }): JSX.Element {
  const { age, stale } = freshness(channel, elapsed.value);
  const when = age === null ? 'none yet' : `${formatAge(age)} ago`;
  return (
    <li
      class={`probe ${channel.id} ${channel.quality} ${stale ? 'old' : ''}`}
      data-testid={`posted-${channel.id}`}
    >
      <h2>
        <span class="swatch" aria-hidden="true" />
        {placeName(channel.id)}
      </h2>
      <p class="probe-value">{formatTenths(channel.celsius, unit.value)}</p>
      <p class="probe-name">Posted readings</p>
      <p class="probe-words">
        {stale ? `In use, silent: the last ${when}` : `In use, the last ${when}`}. They come over HTTP, to
        /api/readings; what posts them is set up there.
      </p>
    </li>
  );
}

/** The probes that a person has set up, the stone's first. */
export function Mine(): JSX.Element {
  const order = (probe: Probe): number => ['stone', 'dome'].indexOf(probe.channel ?? '') >>> 0;
  const sorted = [...probes.value].sort((a, b) => order(a) - order(b));
  const posted = postedChannels();
  const [stone, dome] = ['stone', 'dome'].map((id) => sorted.find((probe) => probe.channel === id));
  return (
    <section>
      {sorted.length === 0 && posted.length === 0 && (
        <p class="first-step">
          Nothing is given to the stone or the dome yet. Find its value below and tap where it is.
        </p>
      )}
      <ul class="mine">
        {sorted.map((probe) => (
          <Card key={probe.id} probe={probe} />
        ))}
        {posted.map((channel) => (
          <Posted key={channel.id} channel={channel} />
        ))}
      </ul>
      {stone && dome && (
        <Button data-testid="swap" onClick={() => void swapProbes(stone, dome)}>
          <RareIcon name="swap" /> Swap stone and dome
        </Button>
      )}
    </section>
  );
}

/** Older than this, a value is not of now, s. */
const OLD_SECONDS = 30;
const isAway = (device: ListedDevice | undefined): boolean => !device || device.link === 'lost';

type Found = { device: ListedDevice | undefined; value: DeviceValue | undefined };

function find(probe: Probe): Found {
  const id = deviceIdOf(probe.address);
  const device = deviceList.value?.devices.find((device) => device.id === id);
  return { device, value: device?.values.find((value) => value.probe === probe.id) };
}

function Card({ probe }: { probe: Probe }): JSX.Element {
  const isOpen = useSignal(false);
  const { device, value } = find(probe);
  const name = probe.name ?? (device ? nameOf(device) : deviceIdOf(probe.address));
  const channel = now.value?.channels.find(
    (channel) => probe.channel !== null && channel.id === probe.channel,
  );
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
      <ProbeQuality channel={channel} device={device} />
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
    <Button
      aria-expanded={isOpen.value}
      data-testid="set-up"
      onClick={() => {
        isOpen.value = !isOpen.value;
      }}
    >
      <Icon name="settings" /> Set up
    </Button>
    <Button
      look="plain"
      data-testid="forget"
      aria-label={`Forget ${name}`}
      onClick={() => void forgetProbe(probe, name)}
    >
      <RareIcon name="bin" /> Forget
    </Button>
  </div>
);

/** What was said of it: "±2.0 °C at 270 °C (K class 2) · corrected: ice …". */
function about({ tolerance, calibration }: Probe): string[] {
  const found = choices.value?.tolerances.find((candidate) => candidate.name === tolerance);
  const within = found
    ? [textInUnit(`±${found.within.toFixed(1)} °C at ${found.at} °C (${found.name})`, unit.value)]
    : [];
  return calibration
    ? [...within, `corrected: ${textInUnit(calibration.how ?? 'by hand', unit.value)}`]
    : within;
}

/** The quality of what it says, and the reason in words. */
function ProbeQuality({
  channel,
  device,
}: {
  channel: LiveChannel | undefined;
  device: ListedDevice | undefined;
}): JSX.Element {
  if (isAway(device))
    return (
      <p class="trust doubt" data-testid="trust">
        <Icon name="lost" size={22} /> {device?.problem ?? 'It is not in reach.'} {device?.remedy}
      </p>
    );
  if (!channel) return <p class="trust">The cook does not use it.</p>;
  const fresh = freshness(channel, elapsed.value);
  const isGood = channel.quality === 'good' && !fresh.stale;
  return (
    <p class={`trust ${isGood ? '' : 'doubt'}`} data-testid="trust">
      <Icon name={isGood ? 'check' : 'warning'} size={22} />
      {isGood && 'good, '}
      {qualityWords(channel, fresh, unit.value)}
    </p>
  );
}
