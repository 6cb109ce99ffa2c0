import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { KeyName } from '../../stores/derive/action-bar.ts';
import { sheet } from '../../stores/screen.ts';
import { Sheet } from '../sheet/index.tsx';
import { ActionKey, shown } from './index.tsx';
import { keyOf, type Key } from './keys.ts';

/** All other keys; it closes with a tap on one. A key that comes to the action bar, under the sheet, stays here as well. */
export function MoreSheet(): JSX.Element {
  const drawn = useRef<KeyName[]>([]);
  if (!shown.value) return <Sheet title="More">Nothing is going on.</Sheet>;
  const { keys, dues } = shown.value;
  drawn.current = [...new Set([...drawn.current, ...keys.rest])];
  return (
    <Sheet title="More">
      <div class="action-rest">
        {drawn.current.map((name) => (
          <ActionKey key={name} of={closing(keyOf(name, dues))} kind="" />
        ))}
      </div>
    </Sheet>
  );
}

const closing = (key: Key): Key => ({
  ...key,
  act() {
    sheet.value = null;
    key.act();
  },
});
