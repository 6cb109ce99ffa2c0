import type { JSX } from 'preact';
import type { LiveChannel } from '../../../shared/api/live.ts';
import { formatAge } from '../../lib/format.ts';
import { freshness } from '../../stores/derive/quality-words.ts';
import { elapsed, now } from '../../stores/live.ts';
import { formatTenths } from '../../stores/probes/device-words.ts';
import { placeName } from '../../stores/probes/device-list.ts';
import { unit } from '../../stores/settings.ts';

/** The channels that another program's posted readings fill now. */
export const postedChannels = (): readonly LiveChannel[] =>
  (now.value?.channels ?? []).filter(({ source }) => source === 'http');

/** Readings that another program posts are in use as a probe's are, though no device stands behind them here. */
export function Posted({ channel }: { channel: LiveChannel }): JSX.Element {
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
