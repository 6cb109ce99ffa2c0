import type { JSX } from 'preact';
import type { CookDetail, CookMark } from '../../../shared/api/api.ts';
import { alertText } from '../../../shared/alert/text.ts';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import { ALERTS, type AlertName } from '../../../shared/alert/kinds.ts';
import { capital, formatName, timeWriter } from '../../lib/format.ts';
import { whyOf } from '../../lib/why-words.ts';
import { unit } from '../../stores/settings.ts';

const KINDS: Record<CookMark['kind'], string> = {
  event: '',
  state: 'Stone',
  alert: 'Alert:',
  noticed: 'Noticed:',
};

const titleOf = ({ kind, name }: CookMark): string => capital(`${KINDS[kind]} ${formatName(name)}`.trim());

const isAlert = (name: string): name is AlertName => (ALERTS as readonly string[]).includes(name);

/** The words of an alert in the person's unit: they were kept in °C. */
const textOf = ({ kind, name, why, text }: CookMark, pizza: string | undefined): string =>
  (kind === 'alert' && isAlert(name) && alertText(name, why, unit.value, pizza)) ||
  (name === 'look' ? textInUnit(text, unit.value) : text);

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
  const { t, undone, pizza } = mark;
  const name = cook.run.find((r) => r.pizza.id === pizza)?.pizza.name;
  const why = Object.entries(mark.why).map(([key, value]) => whyOf(key, value, unit.value));
  return (
    <li class={`mark ${undone ? 'undone' : ''}`}>
      <span class="mark-time">{timeWriter(cook)(t)}</span>
      <div>
        <span>
          <strong>{titleOf(mark)}</strong>
          {name && ` ${name}`} {textOf(mark, name)}
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
