import type { JSX } from 'preact';
import { useMemo, useRef } from 'preact/hooks';
import type { LiveChannel } from '../../../shared/api/live.ts';
import { elapsed, lost, now } from '../../stores/live.ts';
import { sheet } from '../../stores/screen.ts';
import type { Trend } from '../../stores/derive/curve/direction.ts';
import { unit } from '../../stores/settings.ts';
import { ChannelTile, tileOf } from './tile.tsx';

const enterLook = (): void => {
  sheet.value = { kind: 'spot' };
};

/** Drawn anew only when its words change. */
export function Channel({ channel }: { channel: LiveChannel }): JSX.Element {
  const trend = useRef<Trend | null>(null);
  const tile = tileOf(channel, {
    elapsed: elapsed.value,
    isLost: lost.value !== null,
    unit: unit.value,
    band: now.value?.cook?.targets.stone,
    before: trend.current,
  });
  trend.current = tile.trend;
  const { id, role, name } = channel;
  const { state, heat, degrees, doubt, isNone, quality } = tile;
  return useMemo(
    () => <ChannelTile channel={channel} tile={tile} onLook={enterLook} />,
    [id, role, name, state, heat, degrees, doubt, isNone, tile.trend, quality],
  );
}
