import type { JSX } from 'preact';
import { computed } from '@preact/signals';
import { lidIsFirst, messages } from '../../stores/headline.ts';
import { hasCook, member } from '../../stores/live.ts';
import { sheet } from '../../stores/screen.ts';
import { Button } from '../button/index.tsx';
import { Boundary } from '../boundary/index.tsx';
import { Toasts } from '../toast/index.tsx';
import { Cautions } from './cautions.tsx';
import { MessageCard } from './message.tsx';

const cautions = member('cautions');

/** One message, or for a moment what was just done, and what can hurt: a band that is always there, so that nothing below it jumps. */
export const Notes = (): JSX.Element => (
  <div class="notes">
    <Boundary>
      <Slot />
    </Boundary>
    <Boundary>
      <CautionsNow />
    </Boundary>
    {hasCook.value && <Toasts />}
  </div>
);

const CautionsNow = (): JSX.Element | null =>
  cautions.value?.length ? <Cautions list={cautions.value} isAnnounced={lidIsFirst.value} /> : null;

const first = computed(() => messages.value[0]);
const others = computed(() => Math.max(0, messages.value.length - 1));

function Slot(): JSX.Element | null {
  if (!first.value) return null;
  const more = (): void => {
    sheet.value = { kind: 'messages' };
  };
  return (
    <section class="slot" aria-label="Besides">
      <MessageCard message={first.value} />
      {others.value > 0 && (
        <Button look="plain more-messages" data-testid="more-messages" onClick={more}>
          {others} more
        </Button>
      )}
    </section>
  );
}
