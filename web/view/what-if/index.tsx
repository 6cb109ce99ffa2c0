import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { inUnit, timeWriter } from '../../lib/format.ts';
import { scaledFont, type Pen } from '../../lib/plot/pen.ts';
import { write } from '../../lib/plot/plot-paint.ts';
import { channelOf } from '../../stores/derive/headline-sentence.ts';
import { choicesOf, type Choices, type Peak } from '../../stores/derive/curve/what-if-curves.ts';
import { now } from '../../stores/live.ts';
import { overdraw } from '../../stores/screen.ts';
import { unit } from '../../stores/settings.ts';

const isOpen = signal(false);
const DOT_RADIUS_PX = 6;

function drawPeak(pen: Pen, peak: Peak): void {
  const { context, palette, x, y, left, width, px } = pen;
  const [at, value] = [x(peak.t), y(inUnit(peak.celsius, unit.peek()))];
  context.lineWidth = 2.5 * px;
  context.strokeStyle = palette.ink;
  context.fillStyle = palette.ground;
  context.setLineDash(peak.isAbove ? [] : [3 * px, 2 * px]);
  context.beginPath();
  context.arc(at, value, DOT_RADIUS_PX * px, 0, 2 * Math.PI);
  context.fill();
  context.stroke();
  context.setLineDash([]);
  context.font = scaledFont(px);
  context.textBaseline = peak.isAbove ? 'bottom' : 'top';
  const half = context.measureText(peak.label).width / 2;
  const middle = Math.max(left + half, Math.min(left + width - half - 4 * px, at));
  const below = value + (peak.isAbove ? -1 : 1) * (DOT_RADIUS_PX + 4) * px;
  context.textAlign = 'center';
  write(pen, peak.label, middle, below, palette.ink);
}

function choicesNow(): Choices | null {
  const { whatIf = null, cook, channels = [] } = now.value ?? {};
  if (!whatIf || !cook) return null;
  const isEstimate = channels.length > 0 && channelOf({ channels }, 'stone')?.isEstimate === true;
  return choicesOf({ whatIf, unit: unit.value, write: timeWriter(cook), isEstimate });
}

/** One tap shows what shutting the vents would do, in words and on the curve; it stands where an overshoot is warned of. */
export function WhatIf(): JSX.Element | null {
  const choices = choicesNow();
  const { peaks = [] } = choices ?? {};
  const drawn = isOpen.value ? JSON.stringify(peaks) : '';
  useEffect(() => {
    overdraw.value =
      drawn === ''
        ? null
        : (pen) => {
            for (const peak of peaks) drawPeak(pen, peak);
          };
  }, [drawn]);
  useEffect(
    () => () => {
      overdraw.value = null;
    },
    [],
  );
  if (!choices) return null;
  return (
    <div class="what-if">
      <button
        type="button"
        class="chip"
        aria-expanded={isOpen.value}
        aria-pressed={isOpen.value}
        data-testid="what-if"
        onClick={() => {
          isOpen.value = !isOpen.value;
        }}
      >
        What if
      </button>
      {isOpen.value && (
        <div data-testid="what-if-choices">
          <strong>{choices.verdict}</strong>
          <dl>
            {choices.choices.map(({ name, leads }) => (
              <div key={name}>
                <dt>{name}</dt>
                <dd>{leads}</dd>
              </div>
            ))}
          </dl>
        </div>
      )}
    </div>
  );
}
