import type { JSX } from 'preact';
import type { CookDetail } from '../../../shared/api/api.ts';
import { formatDegrees, formatDifference, formatRate, formatSpan, formatTook } from '../../lib/format.ts';
import { STANDARD_ERRORS_80 } from '../../../shared/statistics/normal.ts';
import { unit } from '../../stores/settings.ts';
import { elapsed, readOff, setElapsed, type ReadOff } from '../../stores/study/study.ts';
import type { Moment } from '../../stores/study/read-off.ts';

/** What the cursor reads off, and what the lines mean: a place for each, so that nothing jumps. */
export function ReadOut({ cook }: { cook: CookDetail }): JSX.Element {
  const read = readOff.value;
  return (
    <div class="read-out" data-testid="read-out">
      <div class="read-time">
        <strong data-testid="read-time">{read?.time ?? '–'}</strong>
        {!cook.rehearsal && <Counting />}
      </div>
      <dl>
        {cook.channels.map(({ id, name, role }) => (
          <Channel key={id} id={id} name={name} role={role} read={read} />
        ))}
      </dl>
      <p class="read-moment" data-testid="read-moment">
        {read ? momentText(read.moment) : 'Tap the curve, or something below it, to read it off.'}
      </p>
    </div>
  );
}

const Counting = (): JSX.Element => (
  <div class="counting" role="group" aria-label="Times">
    {[false, true].map((on) => (
      <button
        type="button"
        key={String(on)}
        aria-pressed={elapsed.value === on}
        onClick={() => setElapsed(on)}
        data-testid={on ? 'times-elapsed' : 'times-clock'}
      >
        {on ? 'Elapsed' : 'Clock'}
      </button>
    ))}
  </div>
);

type ChannelProps = { id: string; name: string; role: string; read: ReadOff | null };

function Channel({ id, name, role, read }: ChannelProps): JSX.Element {
  const { celsius = null, perMinute = null, error } = read?.channels.find((c) => c.id === id) ?? {};
  const isAbout = error !== undefined || read?.isExact === false;
  const about = isAbout && celsius !== null ? '≈\u2009' : '';
  return (
    <div class={`read-channel of-${role}`}>
      <dt>
        <span class="swatch" aria-hidden="true" /> {name}
        {error !== undefined && `, estimated ± ${formatDifference(STANDARD_ERRORS_80 * error, unit.value)}`}
      </dt>
      <dd data-testid={`read-${id}`}>
        {about}
        {formatDegrees(celsius, unit.value)}
      </dd>
      <dd class="read-rate" data-testid={`rate-${id}`}>
        {perMinute === null ? '' : formatRate(perMinute, unit.value)}
      </dd>
    </div>
  );
}

/** "3 Mushroom: 2:04 of 7:01", "1:10 after 2 Courgette", "12 min to the first launch". */
export function momentText(moment: Moment | null): string {
  if (!moment) return '';
  if (moment.is === 'before') return `${formatSpan(moment.seconds)} to the first launch`;
  const name = `${moment.number} ${moment.pizza.name}`.trim();
  if (moment.is === 'between') return `${formatTook(moment.seconds)} after ${name} came off`;
  const of = moment.of === null ? '' : ` of ${formatTook(moment.of)}`;
  return `${name}: ${formatTook(moment.seconds)}${of} on the stone`;
}
