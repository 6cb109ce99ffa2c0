import type { JSX } from 'preact';
import type { CookDetail, CookMark } from '../../../shared/api.ts';
import { capital, formatName, timeWriter } from '../../lib/format.ts';
import { whyOf } from '../../lib/why.ts';
import { unit } from '../../stores/settings.ts';

const KINDS: Record<CookMark['kind'], string> = {
  event: '',
  state: 'Stone',
  alert: 'Alert:',
  noticed: 'Noticed:',
};

export const titleOf = ({ kind, name }: CookMark): string =>
  capital(`${KINDS[kind]} ${formatName(name)}`.trim());

/** One thing that happened, with the numbers that made it. */
export function Mark({
  cook,
  mark,
  open = false,
}: {
  cook: CookDetail;
  mark: CookMark;
  open?: boolean;
}): JSX.Element {
  const { t, text, undone, pizza } = mark;
  const name = cook.run.find((r) => r.pizza.id === pizza)?.pizza.name;
  const why = Object.entries(mark.why).map(([key, value]) => whyOf(key, value, unit.value));
  return (
    <li class={`mark ${undone ? 'undone' : ''}`}>
      <span class="mark-time">{timeWriter(cook)(t)}</span>
      <div>
        <span>
          <strong>{titleOf(mark)}</strong>
          {name && ` ${name}`} {text}
          {undone && <em> taken back</em>}
        </span>
        {why.length > 0 && (
          <details open={open}>
            <summary>Why</summary>
            <dl>
              {why.map(([words, value]) => (
                <div key={words}>
                  <dt>{words}</dt>
                  <dd>{value}</dd>
                </div>
              ))}
            </dl>
          </details>
        )}
      </div>
    </li>
  );
}
