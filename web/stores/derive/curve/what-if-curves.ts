import { WORTH_SHUTTING_CELSIUS } from '../../../../shared/alert/kinds/overshoot-ahead.ts';
import type { Now } from '../../../../shared/api/live.ts';
import type { Unit } from '../../../../shared/units.ts';
import { formatDegrees } from '../../../lib/format.ts';

/** Where the stone goes by what is done with the fire now, in words and as places on the curve. Pure. */

/** `name` is what is done, `leads` what comes of it. */
export type Choice = { name: string; leads: string };
/** `t` in seconds of the cook. */
export type Peak = { t: number; celsius: number; label: string; isAbove: boolean };
export type Choices = { choices: Choice[]; peaks: Peak[]; verdict: string };

type Parts = {
  whatIf: NonNullable<Now['whatIf']>;
  unit: Unit;
  write(t: number): string;
  /** The stone is estimated: so is all that follows from it. */
  isEstimate: boolean;
};

/** @returns null where the vents change nothing: a stone that already falls peaks where it is, whatever is done */
export function choicesOf({ whatIf, unit, write, isEstimate }: Parts): Choices | null {
  const { asItIs, shut, shutLater, until, held } = whatIf;
  if (asItIs.highest.celsius - shut.highest.celsius < WORTH_SHUTTING_CELSIUS) return null;
  const degrees = (celsius: number): string => `${isEstimate ? '≈ ' : ''}${formatDegrees(celsius, unit)}`;
  const peak = ({ highest }: { highest: { celsius: number; at: number } }): string =>
    `${degrees(highest.celsius)} at ${write(highest.at)}`;
  // The hottest dome that does not take the stone over its band.
  const dome = held.findLast(({ overAt }) => overAt === null);
  return {
    choices: [
      { name: 'As it is', leads: peak(asItIs) },
      { name: 'Vents shut now', leads: peak(shut) },
      { name: `Shut in ${shutLater.minutes} min`, leads: peak(shutLater) },
      ...(dome ? [{ name: `Dome held at ${formatDegrees(dome.dome, unit)}`, leads: peak(dome) }] : []),
    ],
    peaks: [
      peakOf(asItIs, `as it is ${degrees(asItIs.highest.celsius)}`, true),
      peakOf(shut, `shut ${degrees(shut.highest.celsius)}`, false),
    ],
    verdict: verdictOf(shut.overAt !== null, until, dome ? formatDegrees(dome.dome, unit) : null),
  };
}

const peakOf = (
  { highest: { at, celsius } }: { highest: { at: number; celsius: number } },
  label: string,
  isAbove: boolean,
): Peak => ({ t: at, celsius, label, isAbove });

/** @param dome the hottest that keeps the stone in its band, in words; null where none does */
function verdictOf(isTooLate: boolean, until: number | null, dome: string | null): string {
  if (isTooLate && dome !== null)
    return `Even shut now it goes over: only a dome of ${dome} from now on would hold it in its band.`;
  if (isTooLate) return 'Even shut now it goes over: the sooner, the less.';
  if (until === null) return '';
  return until === 0 ? 'Shut now, it stays in its band.' : `Shut within ${until} min, it stays in its band.`;
}
