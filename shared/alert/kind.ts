import type { Urgency, Why } from '../words.ts';
import type { RaisedAlert, HeadlineWords, Moment, HeadlineSymbol, Tone } from './headline-parts.ts';

/** The numbers of an alert as text; null where this alert was kept without them. */
export type Values<P> = {
  /** A temperature in the person's unit: "263 °C". */
  at(key: keyof P & string): string | null;
  /** A difference, which is never shifted by 32: "15 °C". */
  by(key: keyof P & string): string | null;
  /** As it stands. */
  plain(key: keyof P & string): string | null;
};

/** How it shows itself over the whole screen, and what of it goes into the headline. */
type AlertLook = {
  tone: Tone;
  symbol: HeadlineSymbol;
  /** It takes the whole screen though it is but a prompt: the whole evening waits for it. */
  fillsScreen?: true;
  /** Hands are wanted at once, seen or not: a question waits until it is done. */
  wantsHands?: true;
  /** A reading is typed to answer it. */
  asksForReading?: true;
  /** It changes the headline; where not, the state of the stone covers it. */
  isHeadline?: true;
  /** It is right only if the stone is what it is thought to be. */
  restsOnStone?: true;
};

/**
 * All that is known of one alert but when it is so, which `server/engine/alarm/conditions/` says under the same name.
 * @template P its parameters: the numbers that its condition finds and its words say
 */
export type AlertKind<N extends string = string, P extends Why = Why> = {
  name: N;
  urgency: Urgency;
  /** Doing so is also having seen it. */
  answeredBy: readonly ('vent' | 'fuel' | 'lid-closed' | 'launch')[];
  /** What it asks for of the vents. */
  vents?: 'close' | 'open';
  /** That one goes first while nobody has seen it, as long as `hasTime`: what this one asks for would hinder it. */
  yieldsTo?: { alert: string; hasTime(why: Partial<P>): boolean };
  /** It calls for another pizza, or tends a fire for one: silent once the baking is over. */
  isForBaking?: true;
  /** It asks for the lid to be shut, so that no hazard of an open lid is to be said beside it. */
  shutsLid?: true;
  /** It is not silenced: the pizza gets a minute more, or comes off. */
  isNeverSilenced?: true;
  look: AlertLook;
  /** Once it was seen, whether what was done since leads elsewhere: then it orders no more, though it stands. */
  isSettled?(moment: Moment, why: Partial<P>): boolean;
  /** What it orders on the live page, by what is known at this moment. */
  headline(moment: Moment, alert: RaisedAlert<P>): HeadlineWords;
};

/** A message as it goes on after a comma: without its capital. */
export const inSentence = (message: string): string => message.charAt(0).toLowerCase() + message.slice(1);

/** The sentence with its gaps filled, null where one of them is not known. */
export const filled = (strings: TemplateStringsArray, ...gaps: (string | null)[]): string | null =>
  gaps.includes(null) ? null : String.raw({ raw: strings }, ...gaps);
