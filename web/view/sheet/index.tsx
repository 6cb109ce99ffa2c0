import type { ComponentChildren, JSX } from 'preact';
import { sheet } from '../../stores/screen.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { ErrorBar } from '../toast/index.tsx';
import { Lost } from '../lost/index.tsx';
import { useModal } from './modal.ts';

type Props = { title: string; children: ComponentChildren };

const close = (): void => {
  sheet.value = null;
};

/** A panel over the page: the browser keeps the focus in it and closes it by Escape. */
export function Sheet({ title, children }: Props): JSX.Element {
  return (
    <dialog class="sheet" {...useModal(close)} aria-labelledby="sheet-title">
      <header class="sheet-head">
        <h2 id="sheet-title">{title}</h2>
        <Button look="plain" onClick={close}>
          <Icon name="close" /> Close
        </Button>
      </header>
      <Lost testid="server-lost-panel" />
      <ErrorBar testid="trouble-panel" />
      {children}
    </dialog>
  );
}
