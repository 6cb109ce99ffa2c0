import type { StoneEstimate } from '../../shared/api/api.ts';
import type { EngineOutput } from '../../shared/engine.ts';
import type { RecordingHeader } from '../../shared/recording.ts';
import type { SourceKind } from '../../shared/words.ts';

/** The stone of a cook as the heat model had it, for as long as nobody measured but only looked at it. */
export class EstimateTrace {
  readonly estimates: StoneEstimate[] = [];
  private readonly stone: string | undefined;
  /** Where nothing ever came the model may still know the grill from earlier cooks. */
  private isMeasured = false;

  constructor({ channels }: Pick<RecordingHeader, 'channels'>) {
    this.stone = channels.find(({ role }) => role === 'stone')?.id;
  }

  took(channel: string, source: SourceKind): void {
    if (channel === this.stone) this.isMeasured = source !== 'spot';
  }

  add(output: EngineOutput): void {
    if (output.type !== 'forecast' || this.isMeasured) return;
    const { t, stone, stoneError } = output;
    if (stone !== null && stoneError !== null) this.estimates.push([t, rounded(stone), rounded(stoneError)]);
  }

  /** What was estimated from `from` s on is this instead. */
  remake(from: number, outputs: readonly EngineOutput[]): void {
    if (this.isMeasured) return;
    const place = this.estimates.findIndex(([t]) => t >= from);
    if (place >= 0) this.estimates.splice(place);
    for (const output of outputs) this.add(output);
  }
}

const rounded = (celsius: number): number => Math.round(celsius * 10) / 10;
