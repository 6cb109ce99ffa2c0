import type { JSX } from 'preact';
import { jump, zoom } from '../../stores/study/study.ts';
import { Button } from '../button/index.tsx';
import { RareIcon, type RareName } from '../icon/rare.tsx';

type Key = readonly [id: string, icon: RareName, label: string, act: () => void];

const KEYS: readonly Key[] = [
  ['launch-before', 'earlier', 'Launch', () => jump('launch', -1)],
  ['launch-after', 'level', 'Launch', () => jump('launch', 1)],
  ['mark-before', 'earlier', 'Mark', () => jump('mark', -1)],
  ['mark-after', 'level', 'Mark', () => jump('mark', 1)],
  ['zoom-closer', 'zoomIn', 'Closer', () => zoom('closer')],
  ['zoom-wider', 'zoomOut', 'Wider', () => zoom('wider')],
  ['zoom-all', 'whole', 'All', () => zoom('all')],
];

/** What the gestures do, as keys for whoever does not know them or cannot make them. */
export const Keys = (): JSX.Element => (
  <div class="curve-keys" role="group" aria-label="Cursor and zoom">
    {KEYS.map(([id, icon, label, act]) => (
      <Button key={id} data-testid={id} aria-label={LABELS[id] ?? label} onClick={act}>
        {id.endsWith('-after') ? label : <RareIcon name={icon} />}
        {id.endsWith('-after') ? <RareIcon name={icon} /> : label}
      </Button>
    ))}
  </div>
);

const LABELS: Record<string, string> = {
  'launch-before': 'To the launch before',
  'launch-after': 'To the next launch',
  'mark-before': 'To the mark before',
  'mark-after': 'To the next mark',
};
