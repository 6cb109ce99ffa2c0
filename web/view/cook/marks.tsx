import type { JSX } from 'preact';
import type { CookDetail } from '../../../shared/api.ts';
import { Mark } from './mark.tsx';

/** Everything that happened, in order, as a list: what the rail shows by place. */
export const CookMarks = ({ cook }: { cook: CookDetail }): JSX.Element => (
  <section>
    <h2>What happened</h2>
    {cook.marks.length === 0 && <p>Nothing was marked.</p>}
    <ol class="marks">
      {cook.marks.map((mark) => (
        <Mark key={mark.id} cook={cook} mark={mark} />
      ))}
    </ol>
  </section>
);
