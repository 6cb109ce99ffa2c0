import type { ComponentChildren, JSX } from 'preact';

type Props = Omit<JSX.IntrinsicElements['button'], 'class'> & {
  /** How it looks beside a plain button: `strong`, `plain`, `big` or a class of its own. */
  look?: string;
};

/** A button of the page; it sends its form only where its type says so. */
export const Button = ({ look, ...rest }: Props): JSX.Element => (
  <button type="button" class={look ? `button ${look}` : 'button'} {...rest} />
);

type FormProps = {
  class?: string | undefined;
  onSend(form: HTMLFormElement): void;
  children: ComponentChildren;
};

/** A form whose answer the page takes itself. */
export const Form = ({ class: look, onSend, children }: FormProps): JSX.Element => (
  <form
    class={look}
    onSubmit={(event) => {
      event.preventDefault();
      onSend(event.currentTarget);
    }}
  >
    {children}
  </form>
);
