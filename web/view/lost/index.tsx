import type { JSX } from 'preact';
import { formatAge } from '../../lib/format.ts';
import { lost, outdated } from '../../stores/live.ts';
import { unsent } from '../../stores/act/unsent.ts';
import { Button } from '../button/index.tsx';
import { waitingWords } from '../../stores/derive/unsent-taps.ts';
import { Icon } from '../icon/index.tsx';

/** A frozen number is the worst lie: says across the whole width that nothing below is of now. */
export function Lost({ testid = 'server-lost' }: { testid?: string }): JSX.Element | null {
  if (outdated.value) return <Outdated />;
  const silence = lost.value;
  if (silence === null && unsent.value.length === 0) return null;
  return (
    <section class="lost-band" data-testid={testid} aria-label="Connection">
      <Icon name="lost" size={36} />
      {silence !== null && (
        <strong>No word from the server for {formatAge(silence)} – the numbers below are old.</strong>
      )}
      {unsent.value.length > 0 && <span data-testid="unsent">{waitingWords(unsent.value)}</span>}
    </section>
  );
}

const Outdated = (): JSX.Element => (
  <section class="lost-band" aria-label="Connection">
    <Icon name="warning" size={36} />
    <strong>The server was updated; this page is the old one.</strong>
    <Button onClick={() => location.reload()}>Load the new page</Button>
  </section>
);
