import { useSignal } from '@preact/signals';
import type { ComponentChildren, JSX } from 'preact';
import { Button, Form } from '../button/index.tsx';

type Props<Made> = {
  class?: string;
  /** @returns what the fields make, or what is wrong with them */
  make(): Made | string;
  onMade(made: Made): void;
  button: string;
  testid: string;
  children: ComponentChildren;
};

/** A form that says what is wrong with it. */
export function CheckedForm<Made extends object>(props: Props<Made>): JSX.Element {
  const wrong = useSignal('');
  const send = (): void => {
    const made = props.make();
    wrong.value = typeof made === 'string' ? made : '';
    if (typeof made !== 'string') props.onMade(made);
  };
  return (
    <Form class={props.class} onSend={send}>
      {props.children}
      <p class="wrong" role="status">
        {wrong.value}
      </p>
      <Button type="submit" look="strong" data-testid={props.testid}>
        {props.button}
      </Button>
    </Form>
  );
}
