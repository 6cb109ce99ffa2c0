import type { JSX } from 'preact';

type Props = Omit<JSX.IntrinsicElements['button'], 'class'> & {
  /** How it looks beside a plain button: `strong`, `plain`, `big` or a class of its own. */
  look?: string;
};

/** A button of the page; it sends its form only where its type says so. */
export const Button = ({ look, ...rest }: Props): JSX.Element => (
  <button type="button" class={look ? `button ${look}` : 'button'} {...rest} />
);
