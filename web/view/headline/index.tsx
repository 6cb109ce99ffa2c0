import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import { distinctComputed } from '../../lib/distinct-computed.ts';
import { withoutFigures } from '../../lib/format.ts';
import { announced, headline } from '../../stores/headline.ts';
import { member } from '../../stores/live.ts';
import { Boundary } from '../boundary/index.tsx';
import { Channel } from '../channel/index.tsx';
import { lengthsOf, SentenceWords } from './words.tsx';

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

const count = computed(() => headline.value.count);
/** Drawn anew when it reads otherwise; a second that passes is written into the text of the countdown. */
const still = distinctComputed(() => ({ ...headline.value, count: withoutFigures(count.value) }));

const Sentence = (): JSX.Element => (
  <SentenceWords of={still.value} lengths={lengthsOf(still.value)} count={count} />
);

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
