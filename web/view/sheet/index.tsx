import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { sheet } from '../../stores/screen.ts';
import { Icon } from '../icon/index.tsx';
import { Trouble } from '../toast/index.tsx';
import { Lost } from '../lost/index.tsx';

type Props = { title: string; children: ComponentChildren };

const close = (): void => {
  sheet.value = null;
};

/** A panel over the page: the browser keeps the focus in it and closes it by Escape. */
export function Sheet({ title, children }: Props): JSX.Element {
  const element = useRef<HTMLDialogElement>(null);
  useEffect(() => element.current?.showModal(), []);
  return (
    <dialog class="sheet" ref={element} onClose={close} aria-labelledby="sheet-title">
      <header class="sheet-head">
        <h2 id="sheet-title">{title}</h2>
        <button type="button" class="button plain" onClick={close}>
          <Icon name="close" /> Close
        </button>
      </header>
      <Lost testid="server-lost-panel" />
      <Trouble testid="trouble-panel" />
      {children}
    </dialog>
  );
}
