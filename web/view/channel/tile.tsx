import type { JSX } from 'preact';
import type { LiveChannel } from '../../../shared/api/live.ts';
import type { Band } from '../../../shared/targets.ts';
import type { Unit } from '../../../shared/units.ts';
import { formatDifference } from '../../lib/format.ts';
import { trendOf, type Trend } from '../../stores/derive/curve/direction.ts';
import { STANDARD_ERRORS_80 } from '../../../shared/statistics/normal.ts';
import { celsiusOf, degreesOf } from '../../stores/derive/headline-sentence.ts';
import { freshness, qualityWords } from '../../stores/derive/quality-words.ts';
import { Icon, type IconName } from '../icon/index.tsx';

/** What is read of a channel. Pure: the same document, unit and age give the same. */

/** Younger than this a reading's age is no news, s. */
const FRESH_SECONDS = 15;

const ARROWS: Record<Trend, IconName> = {
  'falling fast': 'down',
  falling: 'downSlow',
  steady: 'level',
  rising: 'upSlow',
  'rising fast': 'up',
};

/** Below the band by so much it is near, °C. */
const NEAR_BAND_CELSIUS = 40;

/** Where the stone is in its band; the swatch wears the colour that the curve has there. */
function heatOf(role: LiveChannel['role'], celsius: number | null, band: Band | undefined): string {
  if (role !== 'stone' || !band || celsius === null) return '';
  if (celsius > band[1]) return 'over';
  return celsius >= band[0] ? 'band' : celsius >= band[0] - NEAR_BAND_CELSIUS ? 'near' : '';
}

/** All that a tile shows, as words. */
type Tile = {
  state: 'old' | 'estimated' | LiveChannel['quality'];
  heat: string;
  degrees: string;
  doubt: string;
  isNone: boolean;
  trend: Trend | null;
  quality: string;
};

/** `elapsed`: s since the document was made. `before`: the trend that was shown last. */
type Circumstances = {
  elapsed: number;
  isLost: boolean;
  unit: Unit;
  band: Band | undefined;
  before: Trend | null;
};

export function tileOf(channel: LiveChannel, { elapsed, isLost, unit, band, before }: Circumstances): Tile {
  const { age, stale } = freshness(channel, elapsed);
  const old = stale || isLost;
  const state = old ? 'old' : channel.isEstimate ? 'estimated' : channel.quality;
  const celsius = celsiusOf(channel);
  const isFresh = state === 'good' && age !== null && age < FRESH_SECONDS;
  return {
    state,
    heat: heatOf(channel.role, celsius, band),
    degrees: degreesOf(channel, unit),
    doubt:
      channel.isEstimate && channel.error !== null
        ? `± ${formatDifference(STANDARD_ERRORS_80 * channel.error, unit)}`
        : '',
    isNone: celsius === null,
    trend: old || channel.perMinute === null ? null : trendOf(channel.perMinute, before),
    quality: isFresh ? '' : qualityWords(channel, { age, stale: old }, unit),
  };
}

type Props = { channel: Pick<LiveChannel, 'id' | 'role' | 'name'>; tile: Tile; onLook?: () => void };

export const ChannelTile = ({
  channel: { id, role, name },
  tile: { state, heat, degrees, doubt, isNone, trend, quality },
  onLook,
}: Props): JSX.Element => (
  <section class={`channel ${role} ${state} ${heat}`} data-testid={`channel-${id}`} aria-label={name}>
    <h2>
      <span class="swatch" aria-hidden="true" />
      <span dir="auto">{name}</span>
    </h2>
    <p class={`value ${isNone ? 'none' : ''}`}>
      {degrees}
      {doubt && <small> {doubt}</small>}
    </p>
    <p class="trust">
      {trend && <Icon name={ARROWS[trend]} size={20} />}
      {trend && <span>{trend.replace(' fast', '')}</span>}
      {state !== 'good' && state !== 'estimated' && <Icon name="warning" size={20} />}
      <span>{quality}</span>
    </p>
    {role === 'stone' && (
      <button
        type="button"
        class="look-key"
        data-testid="look"
        aria-label="Enter what an infrared thermometer reads"
        onClick={onLook}
      />
    )}
  </section>
);
