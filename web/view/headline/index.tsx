import type { JSX } from 'preact';
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

const Sentence = (): JSX.Element => <SentenceWords of={headline.value} lengths={lengthsOf(headline.value)} />;

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
