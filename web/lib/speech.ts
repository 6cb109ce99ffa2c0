import { signal } from '@preact/signals';
import { recall, remember } from './browser-memory.ts';

/** Orders spoken by the browser's own voice, without any network. Off until a person wants it on this screen. */

export const canSpeak = 'speechSynthesis' in globalThis;
export const speaks = signal(canSpeak && recall('speech') === 'on');

export function setSpeech(on: boolean): void {
  speaks.value = on;
  remember('speech', on ? 'on' : 'off');
}

/** A newer sentence takes the place of one that is being spoken. Only voices of this device: nothing is sent out. */
export function speak(sentence: string, isTest = false): void {
  if (!canSpeak || !(speaks.value || isTest)) return;
  const utterance = new SpeechSynthesisUtterance(sentence);
  const voices = speechSynthesis.getVoices().filter(({ localService }) => localService);
  const voice = voices.find(({ lang }) => lang.startsWith('en')) ?? voices[0];
  if (voice) utterance.voice = voice;
  speechSynthesis.cancel();
  speechSynthesis.speak(utterance);
}
