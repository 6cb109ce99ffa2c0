import { describe, expect, it } from 'vitest';
import {
  TRUST_RULES,
  assessQuality,
  freshQualityState,
  type QualityInput,
  type QualityState,
  type Assessment,
} from '../../server/ingest/quality.ts';

const base: QualityInput = {
  via: 'p',
  channel: 'stone',
  role: 'stone',
  t: 0,
  late: 0,
  byHand: false,
  celsius: 20,
  clipped: false,
};
const dome: QualityInput = { ...base, via: 'q', channel: 'dome', role: 'dome' };

/** Assesses a value each `step` s. */
function play(
  state: QualityState,
  what: QualityInput,
  values: readonly (number | null)[],
  step = 1,
  from = 0,
): Assessment[] {
  return values.map((celsius, i) => assessQuality(state, { ...what, celsius, t: from + i * step }));
}
const qualities = (verdicts: readonly Assessment[]): string =>
  verdicts.map((verdict) => verdict.quality[0]).join('');
/** Noise that is the same each time. */
const wobble = (i: number): number => Math.sin(i * 12.9898) * 0.5;

describe('a single value', () => {
  it.each<[string, Partial<QualityInput>, Assessment['quality'], RegExp]>([
    ['open circuit', { celsius: null, fault: 'open-circuit' }, 'bad', /^open circuit/],
    ['short circuit', { celsius: null, fault: 'short' }, 'bad', /^short circuit/],
    ['no word', { celsius: null }, 'bad', /sent no value/],
    ['out of range', { celsius: 900, range: [-200, 850] }, 'bad', /^out of range/],
    ['not a number', { celsius: Number.NaN }, 'bad', /^out of range/],
    ['implausible', { celsius: -80 }, 'uncertain', /^implausible/],
    ['clipped', { celsius: 327.67, clipped: true }, 'uncertain', /^clipped: 327.67 °C/],
    ['doubted by its conversion', { doubt: 'beyond the points' }, 'uncertain', /^beyond/],
    ['low battery', { battery: 2 }, 'uncertain', /^low battery/],
    ['late', { late: 300 }, 'uncertain', /^late: it reached us 5 min/],
  ])('%s', (_, part, quality, reason) => {
    const verdict = assessQuality(freshQualityState(), { ...base, ...part });
    expect(verdict).toMatchObject({ quality, reason: expect.stringMatching(reason) });
    expect(verdict.celsius === null).toBe(quality === 'bad');
  });
  it('is judged by stated rules alone: what the page shows begins with the name of one', () => {
    const names = TRUST_RULES.map(({ rule }) => rule);
    const reasons = [
      assessQuality(freshQualityState(), { ...base, celsius: null, fault: 'open-circuit' }),
      assessQuality(freshQualityState(), { ...base, celsius: null, fault: 'short' }),
      assessQuality(freshQualityState(), { ...base, celsius: 2000 }),
      assessQuality(freshQualityState(), { ...base, celsius: 950 }),
      assessQuality(freshQualityState(), { ...base, clipped: true }),
      assessQuality(freshQualityState(), { ...base, battery: 1 }),
      assessQuality(freshQualityState(), { ...base, late: 200 }),
      ...play(freshQualityState(), base, [270, 0]).slice(1),
      ...play(freshQualityState(), base, [270, 518]).slice(1),
    ].map(({ reason = '' }) => reason.split(':')[0]);
    for (const reason of reasons) expect(names).toContain(reason);
    expect(new Set(reasons).size).toBe(reasons.length);
  });
  it('is good when nothing speaks against it', () => {
    expect(
      assessQuality(freshQualityState(), { ...base, battery: 20, late: 60, range: [-200, 1372] }),
    ).toEqual({
      celsius: 20,
      quality: 'good',
    });
  });
});

describe('leaps', () => {
  it('doubts one spike and no reading beside it', () => {
    for (const spike of [0, 18.7, 433, 658])
      expect(qualities(play(freshQualityState(), base, [270, 270.2, spike, 270.1, 270.3]))).toBe('ggugg');
  });
  it('doubts two spikes in a row, each its own', () => {
    expect(qualities(play(freshQualityState(), base, [270, 0, 600, 270]))).toBe('guug');
  });
  it('given a small fall, the return from it is no leap', () => {
    expect(qualities(play(freshQualityState(), base, [370, 334, 370.5, 370.6], 2))).toBe('gggg');
  });
  it('takes an opened lid for what it is: 80 °C off the dome in 4 s', () => {
    expect(qualities(play(freshQualityState(), dome, [270, 248, 225, 205, 190, 200, 220, 240]))).toBe(
      'gggggggg',
    );
  });
  it('takes a pizza for what it is: 60 °C off the stone’s skin in 3 s', () => {
    expect(qualities(play(freshQualityState(), base, [275, 250, 230, 215, 214, 214]))).toBe('gggggg');
  });
  it('believes a moved probe once it has held for 6 s', () => {
    const moved = Array.from({ length: 12 }, (_, i) => 60 + wobble(i));
    expect(qualities(play(freshQualityState(), base, [270, 270.4, ...moved]))).toBe('gguuuuuugggggg');
  });
  it('does not believe a value that stands still where it leapt to', () => {
    const verdicts = play(freshQualityState(), base, [270, 270.4, ...Array.from({ length: 60 }, () => 0)]);
    expect(qualities(verdicts.slice(2))).toBe('u'.repeat(60));
    expect(verdicts.at(-1)?.reason).toMatch(/standing still/);
  });
  it('believes whole numbers that a person or a simple board posts', () => {
    const posted = [25, ...Array.from({ length: 8 }, () => 270)];
    expect(qualities(play(freshQualityState(), base, posted, 2))).toBe('guuuggggg');
  });
  it('asks nothing of a reading after a long gap, of one typed in, of one out of order', () => {
    const state = freshQualityState();
    play(state, base, [20]);
    expect(assessQuality(state, { ...base, t: 600, celsius: 270 }).quality).toBe('good');
    expect(assessQuality(state, { ...base, t: 601, celsius: 120, byHand: true }).quality).toBe('good');
    expect(assessQuality(state, { ...base, t: 300, celsius: 120 }).quality).toBe('good');
    expect(assessQuality(state, { ...base, t: 602, celsius: 270 }).quality).toBe('good');
  });
});

describe('another unit', () => {
  const inF = (celsius: number): number => (celsius * 9) / 5 + 32;
  const inC = (fahrenheit: number): number => ((fahrenheit - 32) * 5) / 9;
  /** Rises by 6 °C/min. */
  const rising = (i: number): number => 250 + i / 10 + wobble(i);
  it.each<[string, QualityInput, (celsius: number) => number, number]>([
    ['stone to °F', base, inF, 1],
    ['dome to °F', dome, inF, 1],
    ['dome to °F, read each 30 s', dome, inF, 30],
    ['stone to °C, where °F is expected', base, inC, 1],
    ['dome to °C, where °F is expected', dome, inC, 1],
  ])(
    'given a %s, it is doubted for as long as it lasts, though the temperature goes on, and trusted when it is back',
    (_what, what, other, step) => {
      const state = freshQualityState();
      const at = (i: number): number => rising((i * step) / 5);
      const before = Array.from({ length: 30 }, (_, i) => at(i));
      const switched = Array.from({ length: 300 }, (_, i) => other(at(30 + i)));
      const after = Array.from({ length: 30 }, (_, i) => at(330 + i));
      const verdicts = play(state, what, [...before, ...switched, ...after], step);
      expect(qualities(verdicts.slice(0, 30))).toBe('g'.repeat(30));
      expect(qualities(verdicts.slice(30, 330))).toBe('u'.repeat(300));
      expect(verdicts[300]?.reason).toMatch(/^unit: /);
      expect(qualities(verdicts.slice(345))).toBe('g'.repeat(15));
    },
  );
  it('given one that was away for a minute, and comes back in °F, it is doubted', () => {
    const state = freshQualityState();
    play(state, dome, [250, 250.2, 250.1]);
    expect(qualities(play(state, dome, [482, 483, 482.4, 482.8], 1, 63))).toBe('uuuu');
  });
  it('given a probe put from air of 20 °C onto what is at 68 °C, it is believed', () => {
    expect(
      qualities(play(freshQualityState(), base, [20, 20, ...Array.from({ length: 9 }, () => 68)], 2)).slice(
        -3,
      ),
    ).toBe('ggg');
  });
});

/** A dome that climbs 10 °C/min with noise, and a stone of whole degrees beside it. */
function evening(minutes: number, stone: (s: number) => number, from = 0): Assessment[] {
  const state = freshQualityState();
  const found: Assessment[] = [];
  for (let s = 0; s < minutes * 60; s += 2) {
    assessQuality(state, { ...dome, t: s, celsius: from + 20 + s / 6 + wobble(s) });
    found.push(assessQuality(state, { ...base, t: s + 1, celsius: stone(s) }));
  }
  return found;
}
const doubted = (verdicts: readonly Assessment[], rule: string): number =>
  verdicts.filter((verdict) => verdict.reason?.startsWith(rule)).length;

describe('stuck', () => {
  it('doubts a stone that froze while the dome climbs, after 5 min', () => {
    const verdicts = evening(20, (s) => (s < 300 ? 20 + s / 10 + wobble(s) : 50.3));
    expect(doubted(verdicts, 'stuck')).toBeGreaterThan(250);
    expect(doubted(verdicts.slice(0, 290), 'stuck')).toBe(0);
  });
  it('trusts it again at once when it moves', () => {
    const verdicts = evening(20, (s) =>
      s < 300 ? 20 + s / 10 + wobble(s) : s < 1000 ? 50.3 : 50.3 + (s - 990) / 10,
    );
    expect(doubted(verdicts.slice(501), 'stuck')).toBe(0);
  });
  it('leaves a stone of whole degrees alone that climbs slowly, or has not begun', () => {
    expect(qualities(evening(20, (s) => Math.round(20 + s / 150)))).toMatch(/^g+$/);
    // Whole degrees that hold for 5½ min each, as they have all evening.
    expect(
      doubted(
        evening(60, (s) => Math.round(70 + s / 330)),
        'stuck',
      ),
    ).toBe(0);
    expect(
      doubted(
        evening(10, () => 11),
        'stuck',
      ),
    ).toBe(0);
  });
});

describe('disagreeing with its twin', () => {
  it('doubts a stone that is cold after 25 min beside a hot dome', () => {
    const verdicts = evening(60, (s) => 24 + wobble(s));
    expect(doubted(verdicts, 'disagrees')).toBeGreaterThan(300);
    expect(verdicts.at(-1)?.reason).toMatch(/^disagrees: 24 °C beside a dome of \d+ °C/);
    // The dome passes 180 °C after 16 min.
    expect(doubted(verdicts.slice(0, 41 * 30), 'disagrees')).toBe(0);
  });
  it('leaves a cold dome alone beside a stone that cools: the evening is over', () => {
    const state = freshQualityState();
    let doubts = 0;
    for (let s = 0; s < 3600; s += 5) {
      assessQuality(state, { ...base, t: s, celsius: 20 + 260 * Math.exp(-s / 5000) + wobble(s) });
      if (assessQuality(state, { ...dome, t: s, celsius: 25 + wobble(s + 1) }).quality !== 'good')
        doubts += 1;
    }
    expect(doubts).toBe(0);
  });
  it('doubts two probes of one channel that are 60 °C apart, after 3 min', () => {
    const state = freshQualityState();
    const verdicts: Assessment[] = [];
    for (let s = 0; s < 300; s += 2) {
      verdicts.push(assessQuality(state, { ...base, t: s, celsius: 250 + wobble(s) }));
      assessQuality(state, { ...base, via: 'second', t: s, celsius: 190 + wobble(s) });
    }
    expect(doubted(verdicts.slice(0, 89), 'split')).toBe(0);
    expect(verdicts.at(-1)?.reason).toBe('split: apart by 60 °C from the other probe of this channel');
  });
});

it('remembers no more after ten thousand readings than after a hundred', () => {
  const state = freshQualityState();
  play(
    state,
    base,
    Array.from({ length: 100 }, (_, i) => 200 + wobble(i)),
  );
  const size = JSON.stringify(state).length;
  play(
    state,
    base,
    Array.from({ length: 10_000 }, (_, i) => 200 + wobble(i)),
    1,
    100,
  );
  expect(JSON.stringify(state).length).toBeLessThan(size * 1.2);
});
