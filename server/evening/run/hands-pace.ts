/** How long hands take, s: to stretch a ball, to top it and slide it onto the peel (common practice, no source). */
export const HAND_SECONDS = { stretch: 90, top: 75 } as const;

/** The next pizza as far as it has got. */
export type Stage = 'ball' | 'stretched' | 'topped';

/** When to do what, s since the cook started; null for what is done. */
export type Pace = {
  stretchAt: number | null;
  topAt: number | null;
  launchAt: number;
  action: 'wait' | 'stretch' | 'top' | 'launch' | 'hold';
  text: string;
};

/** A topped pizza sticks when it waits longer than this on the peel, s (common practice, no source). */
export const MAX_PEEL_SECONDS = 60;
/** A stretched one can wait on a floured board for longer, so hands start so much early. */
const BOARD_AHEAD_SECONDS = 45;

function dueNow(stage: Stage, now: number, stretchAt: number, topAt: number, ready: boolean): Pace['action'] {
  if (stage === 'topped') return ready ? 'launch' : 'hold';
  if (stage === 'stretched') return now >= topAt ? 'top' : 'wait';
  return now >= stretchAt ? 'stretch' : 'wait';
}

const minutesOrSeconds = (seconds: number): string =>
  seconds < 100 ? `${Math.max(0, Math.round(seconds / 5) * 5)} s` : `${Math.round(seconds / 60)} min`;

function textOf(action: Pace['action'], name: string, seconds: number, waited: number): string {
  switch (action) {
    case 'stretch':
      return `Stretch ${name}.`;
    case 'top':
      return `Top ${name} and get it onto the peel.`;
    case 'launch':
      return waited > MAX_PEEL_SECONDS
        ? `Shake the peel to see that ${name} slides, then launch it.`
        : `Launch ${name}.`;
    case 'hold':
      return waited > MAX_PEEL_SECONDS
        ? `${name} has waited ${minutesOrSeconds(waited)} on the peel: shake it loose, with a little flour under it.`
        : `Keep ${name} on the peel, ${minutesOrSeconds(seconds)} more; shake it now and then.`;
    case 'wait':
      return `${name} can wait: ${minutesOrSeconds(seconds)} until hands are needed.`;
  }
}

/**
 * Prompts so paced that a pizza is ready on the peel just when the stone is. `readyAt` is the engine's forecast of the
 * stone, and is told again at each call: as it moves, the prompts that are not yet done move with it. Topping begins
 * so that it ends with the stone's readiness; only stretching, which can wait on the board, begins with time to spare.
 * `onPeelSince` is when topping was done. Times are seconds since the cook started.
 */
export function pace(
  now: number,
  readyAt: number,
  next: { name: string; stage: Stage; onPeelSince?: number },
): Pace {
  const topDue = readyAt - HAND_SECONDS.top;
  const stretchDue = topDue - BOARD_AHEAD_SECONDS - HAND_SECONDS.stretch;
  const topAt = Math.max(topDue, next.stage === 'ball' ? now + HAND_SECONDS.stretch : now);
  const stretchAt = Math.max(stretchDue, now);
  const launchAt = Math.max(readyAt, next.stage === 'topped' ? now : topAt + HAND_SECONDS.top);
  const action = dueNow(next.stage, now, stretchDue, topDue, now >= readyAt);
  const until = action === 'hold' ? readyAt - now : (next.stage === 'ball' ? stretchAt : topAt) - now;
  const waited = next.onPeelSince === undefined ? 0 : now - next.onPeelSince;
  return {
    stretchAt: next.stage === 'ball' ? stretchAt : null,
    topAt: next.stage === 'topped' ? null : topAt,
    launchAt,
    action,
    text: textOf(action, next.name, until, waited),
  };
}
