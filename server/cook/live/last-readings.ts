import type { SourceKind } from '../../../shared/words.ts';
import type { StoredReading } from '../../store/store.ts';

/** Of who has spoken twice nothing tells a slow pace from a pause, or from a time long ago: it counts for no more, s. */
const LONGEST_FIRST_GAP = 120;

/** What a channel last said, and how often it speaks (s, a running mean of the gaps). */
type LastReading = { reading: StoredReading; every: number | null; source: SourceKind };

/** By channel what it last said; a look that is taken back leaves what was said before it. */
export class LastReadings extends Map<string, LastReading> {
  /** Each look with what its channel had last said before. */
  private looks: { reading: StoredReading; before: LastReading | undefined }[] = [];

  /** @returns whether it is the newest of its channel */
  take(reading: StoredReading, source: SourceKind): boolean {
    const { channel, t } = reading;
    const before = this.get(channel);
    if (before && before.reading.t > t) return false;
    // What was typed in between says nothing of the pace of a probe, nor the probe of looks.
    const gap = before?.source === source ? t - before.reading.t : 0;
    const every = gap > 0 ? paceAfter(before?.every ?? null, gap) : (before?.every ?? null);
    this.set(channel, { reading, every, source });
    if (reading.isLook) this.looks.push({ reading, before });
    return true;
  }

  /** Moves all labels by `by` ms. */
  redate(by: number): void {
    for (const last of this.values()) last.reading = { ...last.reading, at: last.reading.at + by };
  }

  /** @param atOf the label of a time, ms since the epoch */
  strike(channel: string, t: number, atOf: (t: number) => number): void {
    const isIt = ({ reading }: { reading: StoredReading }): boolean =>
      reading.channel === channel && reading.t === t;
    const before = this.looks.find(isIt)?.before;
    this.looks = this.looks.filter((look) => !isIt(look));
    for (const look of this.looks) if (look.before && isIt(look.before)) look.before = before;
    const last = this.get(channel);
    if (!last || !isIt(last)) return;
    if (!before) this.delete(channel);
    else this.set(channel, { ...before, reading: { ...before.reading, at: atOf(before.reading.t) } });
  }
}

/** A pause is not the usual gap: it moves the mean by little, so that who falls silent after it is soon missed. */
const paceAfter = (every: number | null, gap: number): number =>
  every === null ? Math.min(gap, LONGEST_FIRST_GAP) : every + 0.1 * (Math.min(gap, 3 * every + 1) - every);
