import { renderToString } from 'preact-render-to-string';
import type { JSX } from 'preact';
import type { Now } from '../../shared/api/live.ts';
import type { Unit } from '../../shared/units.ts';
import { sentence } from '../stores/derive/sentence.ts';
import type { Sentence } from '../stores/derive/headline-sentence.ts';
import { ChannelTile, tileOf } from '../view/channel/tile.tsx';
import { lengthsOf, SentenceWords } from '../view/headline/words.tsx';
import { RehearsalBar } from '../view/rehearsal/bar.tsx';
import { SoundKey, StatusKey, Top } from '../view/shell/top.tsx';

/** What stands in the page before its script has run, and the rules that go with it. */
export type FirstScreen = { html: string; styles: string };

/**
 * The head of the page and its headline, made by the same parts as the page itself makes them from the same document, so
 * that it takes them over where they stand. Null where no cook is on: then there is nothing that could not wait.
 * @param time of day of the document, as it is read; it stands beside the numbers, and they are crossed out unless a
 * script takes over
 */
export function firstScreen(now: Now, unit: Unit, time: string): FirstScreen | null {
  if (!now.cook || now.t === null) return null;
  const headline = sentence(now, unit, { t: now.t, lost: null });
  const lengths = Object.entries(lengthsOf(headline)).map(([name, value]) => `${name}:${value}`);
  return {
    html: renderToString(<Screen now={now} unit={unit} time={time} headline={headline} />),
    styles: `.sentence h1{${lengths.join(';')}}`,
  };
}

/** The headline leaves room for it. */
const CautionToCome = (): JSX.Element => (
  <div hidden>
    <p class="caution" />
  </div>
);

type Props = { now: Now; unit: Unit; time: string; headline: Sentence };

const Screen = ({ now, unit, time, headline }: Props): JSX.Element => (
  <div class="shell on-live first">
    <Top page="live">
      <SoundKey />
      <StatusKey hasSound={false} staysOn={false} />
    </Top>
    {now.rehearsal && <RehearsalBar isDone={now.rehearsal.isDone} isOpen={false} />}
    <main>
      <div class="live">
        <div class="headline">
          <SentenceWords of={headline} />
          {now.channels.length > 0 && (
            <div class="channels">
              {now.channels.map((channel) => (
                <ChannelTile
                  channel={channel}
                  tile={tileOf(channel, {
                    elapsed: 0,
                    isLost: false,
                    unit,
                    band: now.cook?.targets.stone,
                    before: null,
                  })}
                />
              ))}
            </div>
          )}
        </div>
        <p class="first-time">As of {time}</p>
        {now.cautions.length > 0 && <CautionToCome />}
        <p class="first-old" role="alert">
          No word from the server since {time} – the numbers below are old.
        </p>
      </div>
    </main>
  </div>
);
