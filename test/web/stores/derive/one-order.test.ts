import { describe, expect, it } from 'vitest';
import type { Now } from '../../../../shared/api/live.ts';
import { messagesOf } from '../../../../web/stores/derive/notices.ts';
import { noticed } from '../../../../web/stores/derive/calling-alerts.ts';
import { comesTo, orderOf } from '../../../../web/stores/derive/alert-headlines.ts';
import { spoken, viewOf } from '../../../../web/stores/derive/headline-sentence.ts';
import { causeOf, hold, type Cause, type Shown } from '../../../../web/stores/derive/hold.ts';
import { sentence } from '../../../../web/stores/derive/sentence.ts';
import { alert, channel, forecast, makeNow, pizza } from '../../support/now.ts';

const lidHazard = { text: 'Before the lid: open the vents.', why: '' } as unknown as Now['lidHazard'];
const looked = (estimate: number, error: number, age: number) =>
  channel('stone', estimate, { isEstimate: true, estimate, error, age, source: 'spot' });
const pizzas = [pizza('c', { name: 'Pizza 3' })];
const ahead = alert('overshoot-ahead', { state: 'acknowledged', why: { inMinutes: 1 } });

/** The headline of a page that saw these documents one after the other, and what fills its screen. */
function page(...documents: [number, Now][]): { headline: string; screen: string | null } {
  let shown: Shown | null = null;
  let cause: Cause | null = null;
  for (const [t, now] of documents) {
    cause = causeOf(cause, now, '1');
    shown = hold(shown, (at) => sentence(now, 'C', { t: at, lost: null }), t, cause.text);
  }
  const [t, now] = documents.at(-1) ?? [0, makeNow()];
  const call = noticed(now.alerts);
  return {
    headline: shown ? spoken(shown.sentence) : '',
    screen: call && spoken(orderOf(viewOf(now, 'C', t), call)),
  };
}

describe('the headline behind a full screen', () => {
  it('given a call to launch seconds after the order to close the vents, says the same', () => {
    const hot = makeNow({
      state: 'hot',
      pizzas,
      channels: [looked(281, 3, 2), channel('dome', 283)],
      alerts: [ahead],
      forecast: forecast({ overAt: 3900, peak: { celsius: 312, at: 4400 } }),
    });
    expect(page([3600, hot]).headline).toMatch(/^Close the vents/);
    const ready = alert('stone-ready', { urgency: 'prompt', raisedAt: 3614 });
    const after = { ...hot, state: 'ready' as const, alerts: [ahead, ready] };
    const { headline, screen } = page([3600, hot], [3614, after]);
    expect(screen).toMatch(/^Launch Pizza 3, now/);
    expect(headline).toBe(screen);
  });

  it('given a stone seen in its band that is over it within a minute, is the launch, and then the vents', () => {
    const alerts = [alert('overshoot-ahead', { why: { inMinutes: 1 } })];
    const over = forecast({ overAt: 3660 });
    const now = makeNow({ state: 'soaking', pizzas, alerts, channels: [looked(278, 3, 20)], forecast: over });
    const { headline, screen } = page([3600, now]);
    expect(headline).toBe('Launch Pizza 3, now, over the band in 1 min: then close the vents');
    expect(screen).toBe(headline);
  });

  it.each([
    ['no pizza waits', { pizzas: [] }],
    ['nobody looked lately', { channels: [looked(278, 3, 240)] }],
    ['it is above its band', { channels: [looked(287, 3, 20)] }],
    ['it leaves its band in 9 min', { forecast: forecast({ overAt: 4140 }) }],
  ] as const)('given such a stone where %s, is the vents', (_case, over) => {
    const alerts = [alert('overshoot-ahead')];
    const now = makeNow({
      state: 'soaking',
      pizzas,
      alerts,
      channels: [looked(278, 3, 20)],
      forecast: forecast({ overAt: 3660 }),
      ...(over as Partial<Now>),
    });
    const { headline, screen } = page([3600, now]);
    expect(headline).toMatch(/^Close the vents/);
    expect(screen).toBe(headline);
  });

  it('given a look that is asked for before an overshoot in 10 min, is the look, with what goes before the lid', () => {
    const due = alert('look-due', { urgency: 'prompt', why: { stone: 252, readyInMinutes: 1 } });
    const now = makeNow({
      state: 'climbing',
      pizzas,
      lidHazard,
      channels: [looked(252, 9.4, 170), channel('dome', 237)],
      alerts: [alert('overshoot-ahead', { why: { inMinutes: 10 } }), due],
      forecast: forecast({ overAt: 4200 }),
    });
    const { headline, screen } = page([3610, now]);
    expect(headline).toBe('Look at the stone, ready in about 50 s. Before the lid: open the vents.');
    expect(screen).toBe(headline);
    expect(comesTo(viewOf(now, 'C', 3610), alert('overshoot-ahead')).name).toBe('look-due');
  });
});

describe('what is said once it is past', () => {
  it('given an overshoot that was seen and a forecast that stays in the band, names it no more', () => {
    const ids = (overAt: number | null): string[] =>
      messagesOf(makeNow({ alerts: [ahead], forecast: forecast({ overAt }) }), 3600, null, '').map(
        ({ id }) => id,
      );
    expect(ids(3900)).toEqual(['alert overshoot-ahead ']);
    expect(ids(null)).toEqual([]);
  });

  it('given a stone that still falls after a pizza, does not say that it comes back', () => {
    const after = (perMinute: number): Now =>
      makeNow({
        state: 'recovering',
        channels: [channel('stone', 240, { perMinute })],
        forecast: forecast({ readyAt: 4200 }),
      });
    expect(page([3600, after(-3)]).headline).toMatch(/a pizza has cooled the stone$/);
    expect(page([3600, after(3)]).headline).toMatch(/the stone is coming back$/);
  });
});

describe('a launch that is named nowhere, or now', () => {
  const readyAt = 4680;
  it('given a stone that may be ready at once or in 18 min, asks for the look that tells it', () => {
    const grazing = (age: number): Now =>
      makeNow({
        state: 'climbing',
        pizzas,
        channels: [looked(253, 4, age)],
        forecast: forecast({ readyAt }),
        nextLaunchAt: null,
      });
    expect(page([3600, grazing(20)]).headline).toMatch(/^Look again, in 2 min/);
    expect(page([3600, grazing(150)]).headline).toMatch(/^Look at the stone/);
  });

  it('given a stone seen in its band that is over it in 1 min, before any alert, is the launch', () => {
    const over = forecast({ readyAt, overAt: 3660 });
    const channels = [looked(274, 3, 1)];
    const soaking = makeNow({ state: 'soaking', pizzas, channels, forecast: over, nextLaunchAt: 3600 });
    const words = 'Launch Pizza 3, now, over the band in 1 min: then close the vents';
    expect(page([3600, soaking]).headline).toBe(words);
    expect(page([3600, { ...soaking, nextLaunchAt: 3640 }]).headline).toMatch(/^Launch Pizza 3, in/);
  });
});
