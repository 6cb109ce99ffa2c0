import type { Browser, Page } from 'playwright-core';

/** As in Chromium's trace event format; times in µs, `tdur` by the thread's own clock. */
type TraceEvent = {
  name: string;
  pid: number;
  tid: number;
  ts: number;
  dur?: number;
  tdur?: number;
  args?: { name?: string };
};
/** A screen shows a frame this often, µs; what the main thread does after so long a rest belongs to another one. */
const DISPLAYED = 16_700;

/** What one painted frame took, ms by the thread's own clock: the page's script, and all that the main thread did. */
export type Frame = { script: number; all: number };

const SCRIPT = new Set(['FunctionCall', 'EvaluateScript', 'RunMicrotasks', 'MinorGC', 'MajorGC']);

/** Traces a page and sums up what its main thread did for each frame that was painted. @param watched ms */
export async function framesOf(browser: Browser, page: Page, watched: number): Promise<Frame[]> {
  await browser.startTracing(page, { categories: ['toplevel', 'devtools.timeline', '__metadata'] });
  await page.waitForTimeout(watched);
  const { traceEvents } = JSON.parse((await browser.stopTracing()).toString()) as {
    traceEvents: TraceEvent[];
  }; // Chromium's own format
  const { pid, tid } = mainThread(traceEvents);
  const mine = traceEvents
    .filter((event) => event.pid === pid && event.tid === tid && event.dur !== undefined)
    .sort((a, b) => a.ts - b.ts || (b.dur ?? 0) - (a.dur ?? 0));
  const frames: Frame[] = [];
  let frame: Frame = { script: 0, all: 0 };
  let task = 0;
  let script = 0;
  let paints = false;
  for (const { name, ts, dur = 0, tdur = dur } of mine) {
    if (ts >= task) {
      if (paints) frames.push(frame);
      if (paints || ts - task > DISPLAYED) frame = { script: 0, all: 0 };
      paints = false;
      task = ts + dur;
      frame.all += tdur / 1000;
    }
    // Script within script is counted once.
    if (SCRIPT.has(name) && ts >= script) {
      script = ts + dur;
      frame.script += tdur / 1000;
    }
    paints ||= name === 'Paint';
  }
  return frames.slice(1);
}

/** The busiest main thread of a renderer: the traced page is the only one that does something. */
function mainThread(events: readonly TraceEvent[]): TraceEvent {
  const busy = ({ pid, tid }: TraceEvent): number =>
    events.reduce((sum, event) => (event.pid === pid && event.tid === tid ? sum + (event.dur ?? 0) : sum), 0);
  const [first] = events
    .filter(({ name, args }) => name === 'thread_name' && args?.name === 'CrRendererMain')
    .map((event) => ({ event, busy: busy(event) }))
    .sort((a, b) => b.busy - a.busy);
  if (!first) throw new Error('the trace has no main thread of a page');
  return first.event;
}
