import type { JSX } from 'preact';
import type { Caution } from '../../../shared/evening.ts';
import { changeSettings, settings } from '../../stores/settings.ts';
import { Icon } from '../icon/index.tsx';

const dismiss = (id: string): void =>
  void changeSettings({ dismissed: [...(settings.value?.dismissed ?? []), id] });

/** Cautions of this moment; each goes for good with one tap. */
export const Cautions = ({ list }: { list: readonly Caution[] }): JSX.Element | null =>
  list.length === 0 ? null : (
    <ul class="cautions" aria-label="Cautions" data-testid="cautions">
      {list.map(({ id, text, source }) => (
        <li key={id}>
          <Icon name="warning" />
          <p>
            {text} <small>Source: {source}.</small>
          </p>
          <button type="button" class="button" aria-label="I know this one" onClick={() => dismiss(id)}>
            I know
          </button>
        </li>
      ))}
    </ul>
  );
