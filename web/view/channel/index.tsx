import type { JSX } from 'preact';
import { useMemo } from 'preact/hooks';
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

/** Drawn anew only when its words change. */
export function Channel({ channel }: { channel: LiveChannel }): JSX.Element {
  const { age, stale } = freshness(channel, elapsed.value);
  const old = stale || lost.value !== null;
  const { icon, words } = (old ? null : direction(channel.perMinute)) ?? {};
  const state = old ? 'old' : channel.quality;
  const { id, role, name, celsius } = channel;
  const degrees = formatDegrees(celsius, unit.value);
  const rate = icon && formatRate(channel.perMinute, unit.value);
  const trusted = trust(channel, age, old);
  return useMemo(
    () => (
      <section class={`channel ${role} ${state}`} data-testid={`channel-${id}`} aria-label={name}>
        <h2>
          <span class="swatch" aria-hidden="true" />
          {name}
        </h2>
        <p class={`value ${celsius === null ? 'none' : ''}`}>{degrees}</p>
        <div class="beside">
          <p class="heading">
            {icon && <Icon name={icon} size={26} />}
            {icon && (
              <span>
                <span class="visually-hidden">{words} </span>
                {rate}
              </span>
            )}
          </p>
          <p class="trust">
            {state !== 'good' && <Icon name="warning" size={20} />} {trusted}
          </p>
        </div>
      </section>
    ),
    [id, role, name, state, degrees, icon, rate, trusted],
  );
}
