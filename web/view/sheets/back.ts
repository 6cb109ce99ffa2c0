import { effect } from '@preact/signals';
import { asked } from '../../stores/act/ask.ts';
import { judging, sheet } from '../../stores/screen.ts';

/** What lies over the page, the topmost first. */
function closeTop(): void {
  if (asked.peek()) asked.value = null;
  else if (judging.peek().length > 0) judging.value = [];
  else sheet.value = null;
}

const isOver = (): boolean => asked.value !== null || judging.value.length > 0 || sheet.value !== null;

const MARK = 'over';

/** The browser's back closes what lies over the page; the page itself, and with it the cook, stays. */
export function watchBack(): () => void {
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
