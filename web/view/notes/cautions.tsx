import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { LiveCaution } from '../../../shared/evening/evening.ts';
import { acknowledgeCaution } from '../../stores/act/acts.ts';
import { Button } from '../button/index.tsx';
import { openCaution, type Choice } from './open-caution.ts';
import { Icon } from '../icon/index.tsx';

const chosen = signal<Choice | null>(null);

type Props = {
  list: readonly LiveCaution[];
  /** The first of them stands above in the sentence already: all are named, none is open until a tap opens it. */
  isAnnounced?: boolean;
};

/** The most dangerous caution whole, the others by their names: a tap opens one, another acknowledges it for this cook. */
export function Cautions({ list, isAnnounced = false }: Props): JSX.Element | null {
  if (list.length === 0) return null;
  const open = openCaution(list, chosen.value, isAnnounced);
  const others = list.filter((other) => other !== open);
  return (
    <section class="cautions" aria-label="Cautions" data-testid="cautions">
      {open && <Whole caution={open} />}
      {others.length > 0 && (
        <div class="caution-heads">
          {others.map(({ id, head }) => (
            <button
              type="button"
              class="chip caution-head"
              key={id}
              data-testid={`caution-${id}`}
              onClick={() => {
                chosen.value = { id, insteadOf: list[0]?.id };
              }}
            >
              <Icon name="warning" size={20} /> {head}
            </button>
          ))}
        </div>
      )}
    </section>
  );
}

const Whole = ({ caution: { id, text, source } }: { caution: LiveCaution }): JSX.Element => (
  <div class="caution" data-testid={`caution-${id}`}>
    <Icon name="warning" />
    <Button
      data-testid="caution-seen"
      aria-label="I know this one: not again in this cook"
      onClick={() => void acknowledgeCaution(id)}
    >
      I know
    </Button>
    <p>
      {text} <small>Source: {source}.</small>
    </p>
  </div>
);
