import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { sheet, judging } from '../../stores/screen.ts';
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
import { effect } from '@preact/signals';
import { asked } from '../../stores/act/ask.ts';

/** What lies over the page, the topmost first. */
function closeTop(): void {
  if (asked.peek()) asked.value = null;
  else if (judging.peek().length > 0) judging.value = [];
  else sheet.value = null;
}

const isOver = (): boolean => asked.value !== null || judging.value.length > 0 || sheet.value !== null;

const MARK = 'over';

/** The browser's back closes what lies over the page; the page itself, and with it the cook, stays. */
function watchBack(): () => void {
  const hold = (): void => {
    // A place of its own in the history, once: what is closed by its own key leaves it for the next.
    if (history.state !== MARK) history.pushState(MARK, '');
  };
  const stop = effect(() => {
    if (isOver()) hold();
  });
  const back = (): void => {
    if (!isOver()) return;
    closeTop();
    if (isOver()) hold();
  };
  addEventListener('popstate', back);
  return () => {
    stop();
    removeEventListener('popstate', back);
  };
}

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
