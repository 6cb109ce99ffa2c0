import { normalCdf } from '../../../shared/statistics/normal.ts';
import { EIGHTY, type CookScore } from './score.ts';

/** Of ranges meant to hold so often, by the horizon in minutes: how often they did, and over how many points. */
export type Coverage = { minutes: number; points: number; held: { meant: number; held: number }[] };

const MEANT = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];

/**
 * Coverage of the curve's ranges by horizon. A range other than the 80 % one that the engine gives is that one drawn out on
 * each side as for a normal distribution.
 */
export function coverage(scores: readonly CookScore[]): Coverage[] {
  const all = scores.flatMap(({ curve }) => curve.places);
  const horizons = [...new Set(all.map(({ minutes }) => minutes))].sort((a, b) => a - b);
  return horizons.map((minutes) => {
    const needed = all
      .filter((place) => place.minutes === minutes)
      .map(({ place }) => 2 * normalCdf(EIGHTY * place) - 1);
    const held = MEANT.map((meant) => ({
      meant,
      held: needed.filter((level) => level <= meant + 1e-9).length / needed.length,
    }));
    return { minutes, points: needed.length, held };
  });
}

const SIDE = 400;
const EDGE = 50;
const INKS = ['#1b6ca8', '#b3541e', '#3d7a3d', '#6b4a8a'];
const x = (share: number): string => (EDGE + share * SIDE).toFixed(1);
const y = (share: number): string => (EDGE + (1 - share) * SIDE).toFixed(1);

/** The plot of meant against held, a line a horizon, as SVG 1.1; on the diagonal a range is what it says. */
export function calibrationSvg(found: readonly Coverage[]): string {
  const whole = SIDE + 2 * EDGE;
  const lines = found.map(({ minutes, points, held }, i) => {
    const ink = INKS[i % INKS.length] ?? 'black';
    const corners = held.map((at) => `${x(at.meant)},${y(at.held)}`).join(' ');
    const name = `<text x="${EDGE + 12}" y="${EDGE + 20 + 18 * i}" fill="${ink}">${minutes} min, ${points} points</text>`;
    return `<polyline points="${corners}" fill="none" stroke="${ink}" stroke-width="2"/>\n${name}`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${whole} ${whole}" font-family="sans-serif" font-size="13">
<rect width="${whole}" height="${whole}" fill="white"/>
<rect x="${EDGE}" y="${EDGE}" width="${SIDE}" height="${SIDE}" fill="none" stroke="#888"/>
<line x1="${x(0)}" y1="${y(0)}" x2="${x(1)}" y2="${y(1)}" stroke="#888" stroke-dasharray="4"/>
${lines.join('\n')}
<text x="${x(0.5)}" y="${whole - 14}" text-anchor="middle">range meant to hold, 0 to 1</text>
<text x="18" y="${y(0.5)}" text-anchor="middle" transform="rotate(-90 18 ${y(0.5)})">held</text>
</svg>
`;
}
