import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { CookDetail, CookMark } from '../../../shared/api.ts';
import { groupMarks } from '../../stores/marks.ts';
import { range } from '../../stores/past.ts';
import { Icon, type IconName } from '../icon/index.tsx';
import { Mark, titleOf } from './mark.tsx';

const ICONS: Record<CookMark['kind'], IconName> = {
  alert: 'bell',
  noticed: 'doubt',
  event: 'check',
  state: 'flame',
};

const iconOf = (marks: readonly CookMark[]): IconName =>
  ICONS[
    (['alert', 'event', 'noticed', 'state'] as const).find((kind) => marks.some((m) => m.kind === kind)) ??
      'state'
  ];

type RailProps = { cook: CookDetail; left: number; width: number; open: Signal<readonly string[]> };

/** The marks above the curve, each a button that says why; those too close together share one. */
export function MarkRail({ cook, left, width, open }: RailProps): JSX.Element {
  const { from, to } = range.value;
  const groups = groupMarks(cook.marks, from, to, width);
  const place = (t: number): string => `${left + ((t - from) / (to - from)) * width}px`;
  const isOpen = (marks: readonly CookMark[]): boolean => marks.some((m) => open.value.includes(m.id));
  return (
    <div class="rail">
      {groups.map((marks) => (
        <button
          type="button"
          key={marks[0]?.id}
          style={{ insetInlineStart: place(marks[0]?.t ?? 0) }}
          aria-label={labelOf(marks)}
          aria-pressed={isOpen(marks)}
          onClick={() => {
            open.value = isOpen(marks) ? [] : marks.map((m) => m.id);
          }}
        >
          {marks.length > 1 ? marks.length : <Icon name={iconOf(marks)} size={18} />}
        </button>
      ))}
    </div>
  );
}

const labelOf = (marks: readonly CookMark[]): string =>
  `${marks.length > 1 ? `${marks.length} marks: ` : ''}${marks.map(titleOf).join(', ')}`;

/** The marks that were tapped, with their numbers. */
export function WhyPanel({ cook, open }: { cook: CookDetail; open: readonly string[] }): JSX.Element | null {
  const shown = cook.marks.filter((m) => open.includes(m.id));
  if (shown.length === 0) return null;
  return (
    <ul class="why-panel" data-testid="why">
      {shown.map((mark) => (
        <Mark key={mark.id} cook={cook} mark={mark} open />
      ))}
    </ul>
  );
}
