import { signal } from '@preact/signals';
import { recall, remember } from './browser-memory.ts';

/** Alert sounds, made here: a pattern an urgency, distinguished by rhythm as much as by pitch. */

type SoundState = 'locked' | 'on' | 'none';
/** `locked`: the browser waits for a tap. `none`: this browser makes no sound. */
export const soundState = signal<SoundState>('AudioContext' in globalThis ? 'locked' : 'none');

type Pattern = 'prompt' | 'act' | 'urgent' | 'tap';
/** [start s, length s, pitch Hz] */
type Tone = readonly [start: number, length: number, hertz: number];

const PATTERNS: Record<Pattern, { loudness: number; wave: OscillatorType; tones: readonly Tone[] }> = {
  tap: { loudness: 0.15, wave: 'sine', tones: [[0, 0.08, 880]] },
  // Two bells upward: pleasant news.
  prompt: {
    loudness: 0.5,
    wave: 'sine',
    tones: [
      [0, 0.35, 659],
      [0.3, 0.7, 988],
    ],
  },
  // Three even knocks, twice.
  act: {
    loudness: 0.6,
    wave: 'triangle',
    tones: [0, 0.25, 0.5, 1.2, 1.45, 1.7].map((start): Tone => [start, 0.16, 784]),
  },
  // A fast two-tone call that cannot be taken for a bell.
  urgent: {
    loudness: 0.8,
    wave: 'square',
    tones: Array.from({ length: 12 }, (_, i): Tone => [i * 0.16, 0.13, i % 2 ? 740 : 1109]),
  },
};

const VIBRATION: Record<Pattern, number[]> = {
  tap: [],
  prompt: [150, 100, 150],
  act: [250, 120, 250, 120, 250],
  urgent: [500, 150, 500, 150, 500, 150, 500],
};

export const canVibrate = 'vibrate' in navigator;
/** Off until a person wants it on this device. */
export const vibrates = signal(canVibrate && recall('vibration') === 'on');

export function setVibration(on: boolean): void {
  vibrates.value = on;
  remember('vibration', on ? 'on' : 'off');
}

/** Browsers refuse to vibrate before the first tap, and complain. */
export function vibrate(pattern: Pattern): void {
  if (canVibrate && navigator.userActivation.hasBeenActive) navigator.vibrate(VIBRATION[pattern]);
}

let context: AudioContext | null = null;

function readState(): void {
  soundState.value = context?.state === 'running' ? 'on' : 'locked';
}

/** To be called from a tap: browsers let no page sound before one. */
export async function unlockSound(): Promise<void> {
  if (soundState.value === 'none') return;
  if (!context) {
    context = new AudioContext();
    context.addEventListener('statechange', readState);
  }
  try {
    await context.resume();
  } catch {
    // The state says that it is still locked; the button stays.
  }
  readState();
}

function tone(
  audio: AudioContext,
  [start, length, hertz]: Tone,
  wave: OscillatorType,
  loudness: number,
): void {
  const at = audio.currentTime + 0.02 + start;
  const oscillator = audio.createOscillator();
  const gain = audio.createGain();
  oscillator.type = wave;
  oscillator.frequency.value = hertz;
  // Ramps, since a hard edge clicks.
  gain.gain.setValueAtTime(0, at);
  gain.gain.linearRampToValueAtTime(loudness, at + 0.015);
  gain.gain.exponentialRampToValueAtTime(0.001, at + length);
  oscillator.connect(gain).connect(audio.destination);
  oscillator.start(at);
  oscillator.stop(at + length + 0.02);
}

/** @returns whether it could be heard */
export function play(pattern: Pattern): boolean {
  if (vibrates.peek()) vibrate(pattern);
  if (context?.state !== 'running') return false;
  const { tones, wave, loudness } = PATTERNS[pattern];
  for (const note of tones) tone(context, note, wave, loudness * 0.5);
  return true;
}

/** Any first tap on the page unlocks the sound, not only the button that asks for it: once it is a click, or that of the
 * finger would meet what comes in the place of the button. */
export function startSound(): void {
  const first = async (): Promise<void> => {
    await unlockSound();
    if (soundState.value === 'on') removeEventListener('click', onTap);
  };
  const onTap = (): void => void first();
  addEventListener('click', onTap);
}
