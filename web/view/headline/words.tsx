import type { ReadonlySignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Sentence } from '../../stores/derive/headline-sentence.ts';
import { Icon, SYMBOL_ICONS } from '../icon/index.tsx';

type Lengths = Record<'--head' | '--count', number>;

/** Type is as large as the words allow: their number goes to the style sheet. */
export const lengthsOf = ({ head, count }: Sentence): Lengths => ({
  '--head': Math.max(8, head.length),
  '--count': Math.max(4, count.length),
});

type Words = { of: Sentence; lengths?: Lengths; count?: string | ReadonlySignal<string> };

/**
 * @param lengths where they go by the element itself
 * @param count where the countdown's own text is written anew each second, and nothing else
 */
export function SentenceWords({ of, lengths, count = of.count }: Words): JSX.Element {
  const { head, rest, first, tone, symbol } = of;
  return (
    <div class={`sentence ${tone} ${first && 'has-first'} ${of.count ? '' : 'no-count'}`}>
      <span class="sentence-symbol">
        <Icon name={SYMBOL_ICONS[symbol]} size={96} />
      </span>
      <h1 data-testid="sentence" style={lengths}>
        <span class="verb" dir="auto">
          {head}
        </span>
        {of.count && <Apart />}
        {of.count && <span class="count">{count}</span>}
        {rest && <Apart />}
        {rest && <span class="rest">{rest}</span>}
        {first && (
          <span class="first" data-testid="lid-first">
            <span class="visually-hidden">. </span>
            {first}
          </span>
        )}
      </h1>
    </div>
  );
}

/** What a reader says between parts that stand apart. */
const Apart = (): JSX.Element => <span class="visually-hidden">, </span>;
