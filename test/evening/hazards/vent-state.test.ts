import { describe, expect, it } from 'vitest';
import { foldVents, type VentSign } from '../../../server/evening/hazards/vent-state.ts';
import { ventPosition, ventPositionInNote } from '../../../shared/evening/vent-words.ts';
import { VENT_NOTES, VENT_POSITIONS } from '../../../shared/evening/vents.ts';

describe('how far the vents are, by a note', () => {
  it.each([
    ['all but shut', 'nearly-shut'],
    ['nearly shut', 'nearly-shut'],
    ['not quite closed', 'nearly-shut'],
    ['Barely open', 'nearly-shut'],
    ['half a slit', 'nearly-shut'],
    ['a crack', 'nearly-shut'],
    ['open 5 %', 'nearly-shut'],
    ['shut', 'shut'],
    ['bottom shut, top open', 'shut'],
    ['forgot the vents, closing them now', 'shut'],
    ['a slit', 'low'],
    ['a finger wide', 'low'],
    ['a fifth open', 'low'],
    ['bottom to a third', 'low'],
    ['1/4', 'low'],
    ['not quite half', 'half'],
    ['half open', 'half'],
    ['50 %', 'half'],
    ['two thirds open', 'open'],
    ['both wide open', 'open'],
    ['opened again', 'open'],
    ['were shut, now open', 'open'],
    ['shut, then fully open', 'open'],
    ['both fully open, then shut', 'shut'],
    ['both open a crack', 'nearly-shut'],
    ['vents now open 10 %', 'nearly-shut'],
    ['opened them a slit', 'low'],
    ['reopened a quarter', 'low'],
    ['not open', 'shut'],
    ['no longer open', 'shut'],
    ['top closed, bottom wide open', 'shut'],
    ['half closed', 'half'],
    ['moved', null],
    ['wind got up', null],
  ] as const)('“%s”: %s', (note, position) => expect(ventPosition(note)).toBe(position));

  it.each(VENT_POSITIONS)('reads back what the key “%s” writes', (position) =>
    expect(ventPosition(VENT_NOTES[position])).toBe(position),
  );

  it('takes from a general note only what is about the vents', () => {
    expect(ventPositionInNote('Vents nearly shut')).toBe('nearly-shut');
    expect(ventPositionInNote('dampers half')).toBe('half');
    expect(ventPositionInNote('shop was shut, half the guests here')).toBeNull();
  });
});

describe('what is remembered of the vents', () => {
  const vent = (t: number, note?: string): VentSign => ({
    t,
    kind: 'event',
    event: { event: 'vent', ...(note !== undefined && { note }) },
  });
  const alert = (t: number, name: 'overshot' | 'fire-fading', stands = true): VentSign => ({
    t,
    kind: 'alert',
    alert: name,
    stands,
  });
  const position = (...signs: VentSign[]) => foldVents(signs).position;

  it('is the last that was said, with what was before', () => {
    const state = foldVents([vent(100, 'shut'), vent(900, 'half open'), vent(950, 'half open')]);
    expect(state).toEqual({ position: 'half', since: 900, statedAt: 950, before: 'shut' });
  });
  it('stays shut after a tap that does not say how far', () => {
    expect(position(vent(100, 'nearly shut'), vent(200))).toBe('nearly-shut');
  });
  it('is nearly shut after a tap that answers an overshoot, open after one that answers a fading fire', () => {
    expect(position(alert(10, 'overshot'), vent(30))).toBe('nearly-shut');
    expect(position(alert(10, 'overshot'), alert(20, 'overshot', false), vent(30))).toBeNull();
    expect(position(vent(5, 'shut'), alert(10, 'fire-fading'), vent(30))).toBe('open');
  });
  it('is low where an order to close them was seen, or the dome fell for good', () => {
    const seen: VentSign = { t: 30, kind: 'event', event: { event: 'acknowledge', alert: 'overshot' } };
    expect(position(seen)).toBe('low');
    expect(position({ t: 5, kind: 'noticed-vent' })).toBe('low');
    expect(position(vent(1, 'shut'), seen, { t: 40, kind: 'noticed-vent' })).toBe('shut');
  });
});
