import type { JSX } from 'preact';
import { messages } from '../../stores/headline.ts';
import { Sheet } from '../sheet/index.tsx';
import { MessageCard } from './message.tsx';

/** All of them, for who wants to read on. */
export const MessagesSheet = (): JSX.Element => (
  <Sheet title="What else there is">
    <div class="all-messages">
      {messages.value.length === 0 && <p>Nothing else.</p>}
      {messages.value.map((message) => (
        <MessageCard key={message.id} message={message} />
      ))}
    </div>
  </Sheet>
);
