import type { AlertName } from './kinds.ts';

/** What an alert says over the whole screen, which is loaded with it. */
export type AlertCall = {
  /** The order in as few words as can be read from across a garden. */
  heading: string;
  /** The same where the stone is only estimated to be ready. */
  headingIfLikely?: string;
  /** What the person then says was done, and what that is. */
  did?: { words: string; does: 'vent' | 'lid-closed' | 'launch' | 'turn' | 'off' };
};

export const ALERT_CALLS: Readonly<Record<AlertName, AlertCall>> = {
  'dome-too-hot': { heading: 'Close the vents', did: { words: 'Vents nearly shut', does: 'vent' } },
  'off-due': { heading: 'Off now', did: { words: 'It is off', does: 'off' } },
  'turn-due': { heading: 'Turn now', did: { words: 'Turned', does: 'turn' } },
  'lid-left-open': { heading: 'Close the lid', did: { words: 'Lid closed', does: 'lid-closed' } },
  'probe-lost': { heading: 'Probe silent' },
  overshot: { heading: 'Close the vents', did: { words: 'Vents nearly shut', does: 'vent' } },
  'overshoot-ahead': { heading: 'Close the vents', did: { words: 'Vents nearly shut', does: 'vent' } },
  'fire-fading': { heading: 'Open the vents', did: { words: 'Vents open', does: 'vent' } },
  'stone-ready': {
    heading: 'Launch now',
    headingIfLikely: 'Look, then launch',
    did: { words: 'Launched', does: 'launch' },
  },
  'look-due': { heading: 'Look at the stone' },
  'probe-doubtful': { heading: 'Probe in doubt' },
};
