import type { RecordingHeader } from '../../shared/recording.ts';

export const STONE_AND_DOME: RecordingHeader['channels'] = [
  { id: 'stone', role: 'stone' },
  { id: 'dome', role: 'dome' },
];

/** The head of a recording of stone and dome. */
export const headerOf = (more: Partial<RecordingHeader> = {}): RecordingHeader => ({
  recording: 1,
  startedAt: '2026-05-02T16:00:00.000Z',
  channels: STONE_AND_DOME,
  targets: {},
  probes: [],
  ...more,
});
