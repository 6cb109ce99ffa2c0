import { describe, expect, it } from 'vitest';
import { firstScreen } from '../../../web/first/first-screen.tsx';
import { channel, makeNow, pizza } from '../support/now.ts';

const TIME = '19:42:05';

describe('what stands in the page before its script has run', () => {
  it('given a ready stone, is the sentence, the degrees, and the time that they are of', () => {
    const { html = '', styles } = firstScreen(makeNow(), 'C', TIME) ?? {};
    expect(html.match(/data-testid="sentence">(.*?)<\/h1>/)?.[1]?.replace(/<[^>]*>/g, '')).toBe(
      'Launch, now, the stone is ready',
    );
    expect(html).toMatch(/data-testid="channel-stone".*?class="value ">\d{3}°/);
    expect(html).toContain(TIME);
    expect(styles).toBe('.sentence h1{--head:8;--count:4}');
  });

  it('given °F, says no °C', () => {
    const now = makeNow({ channels: [channel('stone', 270), channel('dome', 250)] });
    expect(firstScreen(now, 'F', TIME)?.html).toContain('518°');
    expect(firstScreen(now, 'F', TIME)?.html).not.toContain('270');
  });

  it('given no cook, is nothing', () => {
    expect(firstScreen(makeNow({ cook: null, t: null }), 'C', TIME)).toBeNull();
  });

  it('given a rehearsal, says that no real fire is watched', () => {
    const html = (over: object) => firstScreen(makeNow(over), 'C', TIME)?.html;
    const rehearsal = { name: 'a', pace: 1, paused: false, isDone: false, length: 10 };
    expect(html({ rehearsal })).toContain('a recording, not your fire');
    expect(html({ rehearsal: null })).not.toContain('REHEARSAL');
  });

  it('given a reading that is old, crosses it out as the page does', () => {
    const old = channel('stone', 270, { stale: true, age: 90 });
    expect(firstScreen(makeNow({ channels: [old] }), 'C', TIME)?.html).toContain('class="channel stone old');
  });

  it('given names that are markup, has them as letters', () => {
    const name = `<img src=x onerror="alert(1)">&'$&`;
    const now = makeNow({
      pizzas: [pizza('a', { name })],
      channels: [channel('stone', 270, { name, id: name }), channel('dome', 250)],
    });
    const html = firstScreen(now, 'C', TIME)?.html ?? '';
    expect(html).not.toContain('<img');
    expect(html).toContain('&lt;img src=x onerror=&quot;alert(1)&quot;>&amp;');
  });
});
