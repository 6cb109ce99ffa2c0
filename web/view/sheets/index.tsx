import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { sheet } from '../../stores/screen.ts';
import { watchBack } from './back.ts';
import { AskFirst } from '../ask/index.tsx';
import { Boundary } from '../boundary/index.tsx';
import { MoreSheet } from '../action-bar/more.tsx';
import { NoteSheet } from '../note/index.tsx';
import { VentsSheet } from '../note/vents.tsx';
import { MessagesSheet } from '../notes/all.tsx';
import { PizzaSheet } from '../pizza-run/pizza-sheet.tsx';
import { RecentSheet } from '../recent/index.tsx';
import { Sheet } from '../sheet/index.tsx';
import { ThisScreen } from '../shell/status.tsx';
import { SpotSheet } from '../spot/index.tsx';
import { ToLive } from '../to-live/index.tsx';
import { VerdictAsk } from '../verdict/index.tsx';

/** All that lies over the page when it is asked for. Fetched once the first screen stands, before a tap needs it. */
export function Sheets(): JSX.Element {
  useEffect(watchBack, []);
  return (
    <>
      <ToLive />
      <Boundary key={sheet.value?.kind}>
        <OpenSheet />
      </Boundary>
      <Boundary>
        <AskFirst />
      </Boundary>
      <Boundary>
        <VerdictAsk />
      </Boundary>
    </>
  );
}

function OpenSheet(): JSX.Element | null {
  const open = sheet.value;
  if (!open) return null;
  if (open.kind === 'spot') return <SpotSheet />;
  if (open.kind === 'note') return <NoteSheet />;
  if (open.kind === 'vents') return <VentsSheet />;
  if (open.kind === 'more') return <MoreSheet />;
  if (open.kind === 'messages') return <MessagesSheet />;
  if (open.kind === 'recent') return <RecentSheet />;
  if (open.kind === 'pizza') return <PizzaSheet key={open.id} id={open.id} />;
  return (
    <Sheet title="This screen">
      <ThisScreen />
    </Sheet>
  );
}
