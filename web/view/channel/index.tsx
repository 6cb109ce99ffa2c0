import type { JSX } from 'preact';
import type { LiveChannel } from '../../../shared/live.ts';
import { formatAge, formatDegrees, formatRate } from '../../lib/format.ts';
import { elapsed, freshness, lost } from '../../stores/live.ts';
import { unit } from '../../stores/settings.ts';
import { Icon, type IconName } from '../icon/index.tsx';

/** °C/min: below the first it stands, from the second on it runs. */
const SLOW = 0.5;
const FAST = 4;

function direction(perMinute: number | null): { icon: IconName; words: string } | null {
  if (perMinute === null) return null;
  if (Math.abs(perMinute) < SLOW) return { icon: 'level', words: 'steady' };
  if (perMinute > 0) return { icon: perMinute < FAST ? 'upSlow' : 'up', words: 'rising' };
  return { icon: perMinute > -FAST ? 'downSlow' : 'down', words: 'falling' };
}

/** Quality in words, and why it is not good. */
function trust({ quality, reason, celsius }: LiveChannel, age: number | null, stale: boolean): string {
  if (age === null) return 'no reading yet';
  if (stale) return `old: silent for ${formatAge(age)}`;
  if (quality === 'good') return `${formatAge(age)} ago`;
  const why = reason ? `: ${reason}` : '';
  return celsius === null ? `no value${why}` : `doubtful${why}`;
}

export function Channel({ channel }: { channel: LiveChannel }): JSX.Element {
  const { age, stale } = freshness(channel, elapsed.value);
  const old = stale || lost.value !== null;
  const heading = old ? null : direction(channel.perMinute);
  const state = old ? 'old' : channel.quality;
  return (
    <section
      class={`channel ${channel.role} ${state}`}
      data-testid={`channel-${channel.id}`}
      aria-label={channel.name}
    >
      <h2>
        <span class="swatch" aria-hidden="true" />
        {channel.name}
      </h2>
      <p class={`value ${channel.celsius === null ? 'none' : ''}`}>
        {formatDegrees(channel.celsius, unit.value)}
      </p>
      <div class="beside">
        <p class="heading">
          {heading && <Icon name={heading.icon} size={26} />}
          {heading && (
            <span>
              <span class="visually-hidden">{heading.words} </span>
              {formatRate(channel.perMinute, unit.value)}
            </span>
          )}
        </p>
        <p class="trust">
          {state !== 'good' && <Icon name="warning" size={20} />} {trust(channel, age, old)}
        </p>
      </div>
    </section>
  );
}
