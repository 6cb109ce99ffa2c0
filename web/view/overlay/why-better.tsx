import type { JSX } from 'preact';
import { formatDifference, formatSpan } from '../../lib/format.ts';
import { comparedCooks } from '../../stores/overlay.ts';
import { unit } from '../../stores/settings.ts';
import { figuresOf, whyBetter } from '../../stores/study/compare-figures.ts';
import { bandText, letterOf } from '../../stores/study/compare-scene.ts';

/** Why one cook went better than the others, and the figures that say so, each against the cook's own band. */
export function WhyBetter(): JSX.Element | null {
  const named = comparedCooks.value.map((entry, i) => ({ name: letterOf(i), figures: figuresOf(entry) }));
  if (named.length < 2) return null;
  return (
    <div data-testid="why-better">
      <h2>Why one went better</h2>
      {whyBetter(named, unit.value).map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <div class="wide figures" tabIndex={0} role="group" aria-label="The figures">
        <table>
          <thead>
            <tr>
              {[
                'Cook',
                'Its band',
                'Fire to band',
                'Over it before a pizza',
                'Time in it',
                'Launches in it',
              ].map((name) => (
                <th scope="col" key={name}>
                  {name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {named.map(({ name, figures: { toBand, over, inBand, launches } }, i) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td>{bandOf(i)}</td>
                <td>{toBand === null ? '–' : formatSpan(toBand)}</td>
                <td>{formatDifference(over, unit.value)}</td>
                <td>{inBand ? `${formatSpan(inBand.seconds)} of ${formatSpan(inBand.of)}` : '–'}</td>
                <td>{launches ? `${launches.inBand} of ${launches.of}` : '–'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </div>
  );
}

function bandOf(place: number): string {
  const band = comparedCooks.value[place]?.cook.targets.stone;
  return band ? bandText(band, unit.value) : '–';
}
