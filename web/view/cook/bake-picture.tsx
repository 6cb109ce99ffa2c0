import type { JSX } from 'preact';
import type { CookDetail } from '../../../shared/api/api.ts';

type Entry = CookDetail['run'][number];
/** What all the pictures of a cook have in common, so that they can be compared: s after the launch, °C. */
export type Frame = { from: number; to: number; low: number; high: number };

const [WIDTH, HEIGHT] = [240, 120];

export function frameOf(run: readonly Entry[], [low, high]: readonly [number, number]): Frame {
  const stone = run.flatMap(({ curve }) => curve.stone);
  const times = stone.map(([t]) => t);
  const values = stone.map(([, celsius]) => celsius);
  return {
    from: Math.min(-30, ...times),
    to: Math.max(60, ...times),
    low: Math.min(low, ...values) - 5,
    high: Math.max(high, ...values) + 5,
  };
}

/** The stone (and the dome, thin) from the launch until it was ready again, with the bake as a field and the band. */
export function BakePicture({
  entry,
  frame,
  band,
}: {
  entry: Entry;
  frame: Frame;
  band: readonly [number, number];
}): JSX.Element {
  const { from, to, low, high } = frame;
  const x = (t: number): number => ((t - from) / (to - from)) * WIDTH;
  const y = (celsius: number): number => ((high - celsius) / (high - low)) * HEIGHT;
  const path = (points: Entry['curve']['stone']): string =>
    points.map(([t, c]) => `${x(t).toFixed(1)},${y(c).toFixed(1)}`).join(' ');
  const { curve, review, pizza } = entry;
  const [turned, off] = [pizza.turnedAt, pizza.offAt].map((t) =>
    t === null || pizza.launchedAt === null ? null : t - pizza.launchedAt,
  );
  const back = review.recoverySeconds === null || off == null ? null : off + review.recoverySeconds;
  return (
    <svg
      class="bake-picture"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <rect class="band" x={0} y={y(band[1])} width={WIDTH} height={y(band[0]) - y(band[1])} />
      {off != null && <rect class="bake" x={x(0)} y={0} width={x(off) - x(0)} height={HEIGHT} />}
      {turned != null && <line class="turned" x1={x(turned)} x2={x(turned)} y1={0} y2={HEIGHT} />}
      <polyline class="dome" points={path(curve.dome)} />
      <polyline class="stone" points={path(curve.stone)} />
      {back !== null && <line class="back" x1={x(back)} x2={x(back)} y1={y(band[0])} y2={HEIGHT} />}
    </svg>
  );
}
