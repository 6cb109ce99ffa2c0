import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { asked, type Ask } from '../../stores/act/ask.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { useModal } from '../sheet/modal.ts';
import { QUESTION_REST_MS, useRest } from '../sheet/use-rest.ts';

const close = (): void => {
  asked.value = null;
};

/** Over the page, until it is answered or asks for nothing any more; large enough to be read at arm's length. */
export function AskFirst(): JSX.Element | null {
  const ask = asked.value;
  const isOver = ask?.still?.() === false;
  useEffect(() => {
    if (isOver) close();
  }, [isOver]);
  return ask && !isOver ? <Shown key={ask.title} ask={ask} /> : null;
}

function Shown({ ask: { title, text, why, yes, act } }: { ask: Ask }): JSX.Element {
  const confirm = (): void => {
    close();
    act();
  };
  const modal = useModal(close);
  const isResting = useRest(QUESTION_REST_MS, modal.ref);
  return (
    <dialog
      class="sheet ask"
      {...modal}
      role="alertdialog"
      aria-labelledby="ask-title"
      aria-describedby="ask-text"
      data-testid="ask"
    >
      <h2 id="ask-title">
        <Icon name="warning" size={48} /> {title}
      </h2>
      <p id="ask-text">{text}</p>
      {why && <p class="ask-why">{why}</p>}
      <div class="ask-acts" inert={isResting}>
        <Button look="strong" data-testid="ask-yes" onClick={confirm}>
          <Icon name="check" size={30} /> {yes}
        </Button>
        <Button data-testid="ask-no" autofocus onClick={close}>
          Not yet
        </Button>
      </div>
    </dialog>
  );
}
