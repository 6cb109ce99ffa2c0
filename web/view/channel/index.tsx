import type { JSX } from 'preact';
import { useMemo, useRef } from 'preact/hooks';
import type { LiveChannel } from '../../../shared/api/live.ts';
import { formatDifference } from '../../lib/format.ts';
import { elapsed, freshness, lost, now } from '../../stores/live.ts';
import { sheet } from '../../stores/screen.ts';
import { celsiusOf, degreesOf, EIGHTY } from '../../stores/derive/headline-sentence.ts';
import { trendOf, type Trend } from '../../stores/derive/curve/direction.ts';
import { qualityWords } from '../../stores/derive/quality-words.ts';
import { unit } from '../../stores/settings.ts';
import { Icon, type IconName } from '../icon/index.tsx';

/** Younger than this a reading's age is no news, s. */
const FRESH = 15;

const ARROWS: Record<Trend, IconName> = {
  'falling fast': 'down',
  falling: 'downSlow',
  steady: 'level',
  rising: 'upSlow',
  'rising fast': 'up',
};

/** Below the band by so much it is near, °C. */
const NEAR = 40;

/** Where the stone is in its band; the swatch wears the colour that the curve has there. */
function heatOf({ role }: LiveChannel, celsius: number | null): string {
  const band = now.value?.cook?.targets.stone;
  if (role !== 'stone' || !band || celsius === null) return '';
  if (celsius > band[1]) return 'over';
  return celsius >= band[0] ? 'band' : celsius >= band[0] - NEAR ? 'near' : '';
}

const enterLook = (): void => {
  sheet.value = { kind: 'spot' };
};

/** Drawn anew only when its words change. */
export function Channel({ channel }: { channel: LiveChannel }): JSX.Element {
  const { age, stale } = freshness(channel, elapsed.value);
  const old = stale || lost.value !== null;
  const trend = useRef<Trend | null>(null);
  trend.current = old || channel.perMinute === null ? null : trendOf(channel.perMinute, trend.current);
  const icon = trend.current && ARROWS[trend.current];
  const state = old ? 'old' : channel.isEstimate ? 'estimated' : channel.quality;
  const { id, role, name, error } = channel;
  const celsius = celsiusOf(channel);
  const degrees = degreesOf(channel, unit.value);
  const doubt =
    channel.isEstimate && error !== null ? `± ${formatDifference(EIGHTY * error, unit.value)}` : '';
  const isFresh = state === 'good' && age !== null && age < FRESH;
  const quality = isFresh ? '' : qualityWords(channel, { age, stale: old }, unit.value);
  const heat = heatOf(channel, celsius);
  return useMemo(
    () => (
      <section class={`channel ${role} ${state} ${heat}`} data-testid={`channel-${id}`} aria-label={name}>
        <h2>
          <span class="swatch" aria-hidden="true" />
          <span dir="auto">{name}</span>
        </h2>
        <p class={`value ${celsius === null ? 'none' : ''}`}>
          {degrees}
          {doubt && <small> {doubt}</small>}
        </p>
        <p class="trust">
          {icon && <Icon name={icon} size={20} />}
          {trend.current && <span>{trend.current.replace(' fast', '')}</span>}
          {state !== 'good' && state !== 'estimated' && <Icon name="warning" size={20} />}
          <span>{quality}</span>
        </p>
        {role === 'stone' && (
          <button
            type="button"
            class="look-key"
            data-testid="look"
            aria-label="Enter what an infrared thermometer reads"
            onClick={enterLook}
          />
        )}
      </section>
    ),
    [id, role, name, state, heat, degrees, doubt, icon, quality],
  );
}
