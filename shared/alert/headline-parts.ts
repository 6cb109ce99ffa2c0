/** What the headline of an alert is made of: words, and the moment that they speak of. */

export type Tone = 'calm' | 'go' | 'act' | 'urgent' | 'lost';
export type HeadlineSymbol =
  'light' | 'wait' | 'go' | 'turn' | 'off' | 'close' | 'open' | 'lid' | 'doubt' | 'lost' | 'rest';

export type HeadlineWords = {
  /** The verb: what to do, or what is waited for. */
  head: string;
  /** What it hangs on, the largest of all: time left, time late, degrees over. */
  count?: string;
  /** Why, or what comes next. */
  rest?: string;
  /** Changes when the headline means something else; symbol and head where nothing else tells two apart. */
  meaning?: string;
};

/** An alert that stands. `raisedAt` s of the cook; `message` in the person's unit. */
export type RaisedAlert<P> = {
  why: Partial<P>;
  raisedAt: number;
  message: string;
  /** The one that it is about: `turnIn` and `offIn` s until that is due, null where it does not lie on the stone. */
  pizza: { name: string; turnIn: number | null; offIn: number | null };
};

/** Temperatures °C, times s of the cook; each null where it is not known. */
export type Moment = {
  t: number;
  /** Measured, or where nobody measures it, estimated; `age` s of the last reading or look. */
  stone: { celsius: number | null; isEstimate: boolean; age: number | null } | null;
  /** The same in words; an estimate says that it is one. */
  stoneDegrees: string;
  dome: number | null;
  /** The upper end of the stone's band. */
  top: number | null;
  forecast: { peak: number | null; overAt: number | null; fadesAt: number | null } | null;
  /** The highest that the stone gets with the vents shut now. */
  shutNow: number | null;
  /** The name of the pizza that waits first; empty where none does. */
  next: string;
  write: Writer;
};

/** Values as text, temperatures in the person's unit. */
export type Writer = {
  /** "263°" */
  degrees(celsius: number | null): string;
  /** "25°", never shifted by 32. */
  difference(celsius: number): string;
  /** "5 min" */
  span(seconds: number): string;
  /** "3 s": to the second below a minute. */
  age(seconds: number): string;
  /** "1:05", "now" or "0:20 late". @param left s */
  due(left: number): string;
};

/** How far the stone is above its band, °C; null where that is not known. */
export const overBy = ({ stone, top }: Moment): number | null =>
  top === null || !stone || stone.celsius === null ? null : Math.max(0, stone.celsius - top);

/** Longer ago than this, s, a look does not settle whether the stone is ready. */
const SETTLED_SECONDS = 90;

/** Over its band within so long, s: a pizza that goes on now still finds it there, and cools it. */
export const OVER_SOON_SECONDS = 180;

/** Whether the stone is ready by an estimate alone, which one look is to confirm. */
export const isLikely = (stone: { isEstimate: boolean; age: number | null } | null): boolean =>
  stone?.isEstimate === true && (stone.age === null || stone.age > SETTLED_SECONDS);

/** A stone that is not going higher than this, °C, is past its peak. */
const PAST_PEAK_CELSIUS = 2;

/** Whether the stone already gives its heat to a dome below it: closing the vents further would only starve the fire. */
export const isCooling = ({ stone, dome, forecast }: Moment): boolean =>
  stone !== null &&
  stone.celsius !== null &&
  dome !== null &&
  dome < stone.celsius &&
  forecast !== null &&
  (forecast.peak === null || forecast.peak <= stone.celsius + PAST_PEAK_CELSIUS);
