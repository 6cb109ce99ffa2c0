import type { JSX } from 'preact';
import { VENT_NOTES, VENT_POSITIONS } from '../../../shared/evening/vents.ts';
import { capital } from '../../lib/format.ts';
import { tellEvent } from '../../stores/act/acts.ts';
import { sheet } from '../../stores/screen.ts';
import { Button } from '../button/index.tsx';
import { Sheet } from '../sheet/index.tsx';

const keep = async (note?: string): Promise<void> => {
  if (await tellEvent('vent', note ? `Vents ${note}` : 'Vents moved', note)) sheet.value = null;
};

/** How far the vents are now: what forecasts and cautions go by. */
export const VentsSheet = (): JSX.Element => (
  <Sheet title="The vents are now">
    <div class="row ready-made">
      {VENT_POSITIONS.map((position) => (
        <Button
          key={position}
          data-testid={`vents-${position}`}
          onClick={() => void keep(VENT_NOTES[position])}
        >
          {capital(VENT_NOTES[position])}
        </Button>
      ))}
      <Button data-testid="vents-moved" onClick={() => void keep()}>
        Moved a little
      </Button>
    </div>
  </Sheet>
);
