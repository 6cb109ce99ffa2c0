import type { JSX } from 'preact';
import { hasCook, now } from '../../stores/live.ts';
import { Boundary } from '../boundary/index.tsx';
import { ActionBar } from '../action-bar/index.tsx';
import { Start } from '../empty/index.tsx';
import { Headline } from '../headline/index.tsx';
import { Notes } from '../notes/index.tsx';
import { PizzaRun } from '../pizza-run/index.tsx';
import { Timeline } from '../timeline/index.tsx';

/** Three zones that never move: what to do, the evening as one line of time, what was done. */
export const LivePage = (): JSX.Element =>
  hasCook.value ? (
    <div class="live">
      <Headline />
      <Notes />
      <div class="ribbon">
        <Boundary>
          <Timeline />
        </Boundary>
        <Boundary>
          <PizzaRun />
        </Boundary>
      </div>
      <Boundary>
        <ActionBar />
      </Boundary>
    </div>
  ) : (
    <div class="live begins">
      {!now.value && <Headline />}
      <Notes />
      <Boundary>
        <Start />
      </Boundary>
    </div>
  );
