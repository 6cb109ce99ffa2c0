import { afterEach, expect, it, vi } from 'vitest';
import type { Probe } from '../../../shared/probe.ts';
import { offers } from '../../../web/stores/act/acts.ts';
import { actOnGrill } from '../../../web/stores/grills.ts';
import { tick } from '../../../web/stores/plan.ts';
import { calibrateProbe, forgetProbe } from '../../../web/stores/probes/device-list.ts';

// The plan's store asks the browser for its language as soon as it is loaded.
vi.hoisted(() => vi.stubGlobal('navigator', { language: 'en-GB' }));

afterEach(() => {
  vi.unstubAllGlobals();
  offers.value = [];
});

type Sent = { method: string; path: string; body: Record<string, unknown>; answer(body?: object): void };

/** A server that answers nothing until the test does. */
function slowServer(): { sent: Sent[]; sentTo(path: string): Sent[] } {
  const sent: Sent[] = [];
  vi.stubGlobal(
    'fetch',
    (path: string, { method = 'GET', body = '{}' }: { method?: string; body?: string }) =>
      new Promise((resolve) =>
        sent.push({
          method,
          path,
          body: JSON.parse(body) as Record<string, unknown>, // the page's own
          answer: (answer = {}) => resolve(new Response(JSON.stringify(answer))),
        }),
      ),
  );
  return { sent, sentTo: (wanted) => sent.filter(({ path }) => path.endsWith(wanted)) };
}
/** Until all that waits for promises alone has been done. */
const flushTasks = (): Promise<void> => new Promise((done) => setTimeout(done));

const probe: Probe = { id: 'p1', channel: 'stone', address: { source: 'serial', port: 'x' } };

it('given a calibration on its way, another one goes after it and is how it is left', async () => {
  const { sentTo } = slowServer();
  void calibrateProbe(probe, { by: 'offset', read: 270, truth: 272.5 });
  void calibrateProbe(probe, { by: 'nothing' });
  await flushTasks();
  expect(sentTo('/calibrate').map(({ body }) => body['by'])).toEqual(['offset']);
  sentTo('/calibrate')[0]?.answer(probe);
  await expect.poll(() => sentTo('/calibrate').map(({ body }) => body['by'])).toEqual(['offset', 'nothing']);
});

it('given a grill that is being chosen, another one that is chosen goes after it', async () => {
  const { sentTo } = slowServer();
  void actOnGrill({ do: 'choose', name: 'a' });
  void actOnGrill({ do: 'choose', name: 'b' });
  await flushTasks();
  sentTo('/api/grills')[0]?.answer();
  await expect.poll(() => sentTo('/api/grills').map(({ body }) => body['name'])).toEqual(['a', 'b']);
});

it('given the step of a pizza on its way, the same step of another pizza is sent too', async () => {
  const { sentTo } = slowServer();
  for (const pizza of [1, 2, 2]) void tick({ step: 'launch', pizza });
  await flushTasks();
  expect(sentTo('/api/plan/happened').map(({ body }) => body['pizza'])).toEqual([1, 2]);
});

it('given a probe that was forgotten, its undo is offered before the list is drawn without it', async () => {
  const { sent } = slowServer();
  void forgetProbe(probe, 'Stone');
  await flushTasks();
  sent[0]?.answer();
  await expect.poll(() => sent.length).toBe(2);
  expect(offers.value.map(({ label }) => label)).toEqual(['Stone forgotten']);
});
