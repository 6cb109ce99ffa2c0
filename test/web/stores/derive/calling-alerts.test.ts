import { describe, expect, it } from 'vitest';
import { byUrgency, type AlertName } from '../../../../shared/alert/kinds.ts';
import {
  answeredWith,
  callOf,
  chipAlerts,
  isPressing,
  noticed,
  toSound,
} from '../../../../web/stores/derive/calling-alerts.ts';
import { alert } from '../../support/now.ts';

describe('what takes the whole screen', () => {
  it('is the most urgent that nobody has seen', () => {
    const alerts = [
      alert('fire-fading'),
      alert('off-due', { urgency: 'urgent' }),
      alert('stone-ready', { urgency: 'prompt' }),
    ];
    expect(noticed(alerts)?.alert).toBe('off-due');
    expect(chipAlerts(alerts).map((a) => a.alert)).toEqual(['fire-fading', 'stone-ready']);
  });
  it('is never one that this page does not know, while it knows one', () => {
    // what a newer server may send
    const unknown = { ...alert('fire-fading'), alert: 'not-known-here' as AlertName };
    expect(byUrgency([unknown, alert('fire-fading')]).map((a) => a.alert)).toEqual([
      'fire-fading',
      'not-known-here',
    ]);
  });
  it('is nothing that was seen anywhere, shelved, over, or only good to know', () => {
    for (const state of ['acknowledged', 'shelved', 'returned'] as const)
      expect(noticed([alert('overshot', { state, urgency: 'urgent' })])).toBeNull();
    expect(noticed([alert('probe-doubtful', { urgency: 'prompt' })])).toBeNull();
  });
  it('is the call to launch, prompt though it is', () => {
    const ready = alert('stone-ready', { urgency: 'prompt' });
    expect(noticed([ready])).toBe(ready);
  });
  it('given a ready stone that leaves its band in 9 min, is the launch, and the vents once that was seen', () => {
    const ahead = alert('overshoot-ahead', { urgency: 'act', why: { inMinutes: 9 } });
    const ready = alert('stone-ready', { urgency: 'prompt' });
    expect(noticed([ahead, ready])?.alert).toBe('stone-ready');
    expect(chipAlerts([ahead, ready]).map((a) => a.alert)).toEqual(['overshoot-ahead']);
    const seen = alert('stone-ready', { urgency: 'prompt', state: 'acknowledged' });
    expect(noticed([ahead, seen])?.alert).toBe('overshoot-ahead');
  });
  it('given a stone that leaves its band within 2 min, is the vents', () => {
    const ahead = alert('overshoot-ahead', { urgency: 'act', why: { inMinutes: 2 } });
    expect(noticed([ahead, alert('stone-ready', { urgency: 'prompt' })])?.alert).toBe('overshoot-ahead');
  });
});

it('given a look that is due no more, lists nothing, and goes on listing an overshoot that is over and unseen', () => {
  const over = alert('overshot', { state: 'returned', urgency: 'urgent' });
  const look = alert('look-due', { state: 'returned', urgency: 'prompt' });
  expect(chipAlerts([look, over]).map((a) => a.alert)).toEqual(['overshot']);
});

describe('what a question waits for', () => {
  it.each(['turn-due', 'off-due', 'lid-left-open', 'dome-too-hot'] as const)(
    'is %s, seen or not, until it is done',
    (name) => {
      for (const state of ['unacknowledged', 'acknowledged'] as const)
        expect(isPressing([alert(name, { state })])).toBe(true);
      for (const state of ['shelved', 'returned'] as const)
        expect(isPressing([alert(name, { state })])).toBe(false);
    },
  );
  it('is a launch until it was seen: the pizza that came off is looked at before the next goes on', () => {
    expect(isPressing([alert('stone-ready', { urgency: 'prompt' })])).toBe(true);
    expect(isPressing([alert('stone-ready', { urgency: 'prompt', state: 'acknowledged' })])).toBe(false);
  });
  it('is no probe that was seen to be in doubt', () => {
    expect(isPressing([alert('probe-lost', { state: 'acknowledged', urgency: 'urgent' })])).toBe(false);
    expect(isPressing([alert('probe-lost', { urgency: 'urgent' })])).toBe(true);
  });
});

describe('what sounds', () => {
  const urgent = alert('off-due', { urgency: 'urgent' });
  const prompt = alert('stone-ready', { urgency: 'prompt' });
  it('is each call once at once, urgent ones again until seen', () => {
    expect(toSound([urgent, prompt], new Map(), 0).map((a) => a.alert)).toEqual(['off-due', 'stone-ready']);
    const sounded = new Map([
      [callOf(urgent), 0],
      [callOf(prompt), 0],
    ]);
    expect(toSound([urgent, prompt], sounded, 1000)).toEqual([]);
    expect(toSound([urgent, prompt], sounded, 6000).map((a) => a.alert)).toEqual(['off-due']);
    expect(toSound([{ ...urgent, state: 'acknowledged' }], sounded, 60_000)).toEqual([]);
  });
  it('sounds anew when the server raises it anew', () => {
    const sounded = new Map([[callOf(prompt), 0]]);
    expect(toSound([{ ...prompt, raisedAt: prompt.raisedAt + 300 }], sounded, 1000)).toHaveLength(1);
  });
});

describe('what a deed at the vents answers', () => {
  const standing = [alert('overshot'), alert('dome-too-hot'), alert('fire-fading'), alert('look-due')];
  it('given vents that were shut, is each call to shut them and none to open them', () => {
    expect(answeredWith(standing, 'overshot')).toEqual(['overshot', 'dome-too-hot']);
    expect(answeredWith(standing, 'fire-fading')).toEqual(['fire-fading']);
  });
  it('given a deed that is none at the vents, is its own call alone', () => {
    expect(answeredWith(standing, 'lid-left-open')).toEqual(['lid-left-open']);
  });
});
