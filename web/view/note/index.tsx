import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { tellEvent } from '../../stores/act/acts.ts';
import { sheet } from '../../stores/screen.ts';
import { Button, Form } from '../button/index.tsx';
import { Sheet } from '../sheet/index.tsx';

/** What is often worth a note, for fingers that cannot type. */
const READY_MADE = [
  'Wind got up',
  'Flour burning on the stone',
  'Dough sticks to the peel',
  'Base darker than top',
  'Top darker than base',
  'Vents nearly shut',
];

export function NoteSheet(): JSX.Element {
  const text = useSignal('');
  const keep = async (note: string): Promise<void> => {
    if (note && (await tellEvent('note', 'Note saved', note))) sheet.value = null;
  };
  return (
    <Sheet title="Note">
      <div class="row ready-made">
        {READY_MADE.map((note) => (
          <Button key={note} onClick={() => void keep(note)}>
            {note}
          </Button>
        ))}
      </div>
      <Form onSend={() => void keep(text.value.trim())}>
        <label class="field">
          In your own words
          <textarea
            rows={3}
            maxLength={2000}
            value={text.value}
            onInput={(event) => {
              text.value = event.currentTarget.value;
            }}
          />
        </label>
        <Button type="submit" look="strong">
          Save the note
        </Button>
      </Form>
    </Sheet>
  );
}
