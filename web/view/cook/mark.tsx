import type { JSX } from 'preact';
import type { CookDetail, CookMark } from '../../../shared/api.ts';
import { capital, formatName, formatWhy, timeWriter } from '../../lib/format.ts';

const KINDS: Record<CookMark['kind'], string> = {
  event: '',
  state: 'Stone',
  alert: 'Alert:',
  noticed: 'Noticed:',
};

export const titleOf = ({ kind, name }: CookMark): string =>
  capital(`${KINDS[kind]} ${formatName(name)}`.trim());

/** "changeIn2min" → "change in 2 min": the engine names its numbers as the code does. */
const wordsOf = (key: string): string =>
  key.replaceAll(/[A-Z]|\d+/g, (part) => ` ${part.toLowerCase()}`).replaceAll(/(\d)([a-z])/g, '$1 $2');

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
  const why = Object.entries(mark.why);
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
              {why.map(([key, value]) => (
                <div key={key}>
                  <dt>{wordsOf(key)}</dt>
                  <dd>{formatWhy(value)}</dd>
                </div>
              ))}
            </dl>
          </details>
        )}
      </div>
    </li>
  );
}
