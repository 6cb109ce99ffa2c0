import type { JSX } from 'preact';
import type { Sentence as Said } from '../../stores/derive/headline-sentence.ts';
import { announced, headline } from '../../stores/headline.ts';
import { member } from '../../stores/live.ts';
import { Boundary } from '../boundary/index.tsx';
import { Channel } from '../channel/index.tsx';
import { Icon, SYMBOL_ICONS } from '../icon/index.tsx';

/** What to do and when, and beside it what is measured. */
export const Headline = (): JSX.Element => (
  <div class="headline">
    <Boundary>
      <Sentence />
    </Boundary>
    <Boundary>
      <Channels />
    </Boundary>
  </div>
);

/** Type is as large as the words allow: their number goes to the style sheet. */
const lengths = ({ head, count }: Said): Record<string, number> => ({
  '--head': Math.max(8, head.length),
  '--count': Math.max(4, count.length),
});

function Sentence(): JSX.Element {
  const { head, count, rest, first, tone, symbol } = headline.value;
  return (
    <div class={`sentence ${tone} ${first && 'has-first'} ${count ? '' : 'no-count'}`}>
      <span class="sentence-symbol">
        <Icon name={SYMBOL_ICONS[symbol]} size={96} />
      </span>
      <h1 data-testid="sentence" style={lengths(headline.value)}>
        <span class="verb" dir="auto">
          {head}
        </span>
        {count && <Apart />}
        {count && <span class="count">{count}</span>}
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

const channels = member('channels');

function Channels(): JSX.Element | null {
  if (!channels.value?.length) return null;
  return (
    <div class="channels">
      {channels.value.map((channel) => (
        <Channel key={channel.id} channel={channel} />
      ))}
    </div>
  );
}

/** To be there on every page: who is not looking hears the evening go on. */
export const Announcer = (): JSX.Element => (
  <p class="visually-hidden" aria-live="polite">
    {announced.value}
  </p>
);
