import { describe, expect, it } from 'vitest';
import { callOf, inStrip, noticed, toSound } from '../../web/stores/alerts.ts';
import { alert } from './support/now.ts';

describe('what takes the whole screen', () => {
  it('is the most urgent that nobody has seen', () => {
    const alerts = [
      alert('fire-fading'),
      alert('off-due', { urgency: 'urgent' }),
      alert('stone-ready', { urgency: 'prompt' }),
    ];
    expect(noticed(alerts)?.alert).toBe('off-due');
    expect(inStrip(alerts).map((a) => a.alert)).toEqual(['fire-fading', 'stone-ready']);
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
