import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Formula } from '../../../../shared/evening/formula.ts';
import { Button } from '../../button/index.tsx';
import { TextField } from '../../sheet/fields.tsx';

type Props = { name: string; keep(name: string): Promise<Formula | null>; testid: string };

/** Keeps a formula under a name of the person's own. */
export function KeepAs({ name: before, keep, testid }: Props): JSX.Element {
  const name = useSignal(before);
  const message = useSignal('');
  const tapped = async (): Promise<void> => {
    const title = name.value.trim();
    const saved = title ? await keep(title) : null;
    if (saved) message.value = `Saved as version ${saved.version} of “${saved.name}”.`;
  };
  return (
    <div class="row">
      <TextField
        label="Save it as"
        most={80}
        value={name.value}
        testid={`${testid}-name`}
        onType={(text) => {
          name.value = text;
        }}
      />
      <Button data-testid={`${testid}-keep`} onClick={() => void tapped()}>
        Save the formula
      </Button>
      <p role="status">{message.value}</p>
    </div>
  );
}
