import type { Why } from '../../shared/engine.ts';
import type { AlertName } from '../../shared/words.ts';
import type { Baking, EngineState } from './engine-state.ts';
import { patience } from './channel.ts';
import { tenth, type Facts } from './facts.ts';

/** What an alert says, in plain words, and the numbers in it, each of them in `why` as it stands in the words. */
export type Said = { message: string; why: Why };

const whole = (value: number): number => Math.round(value) + 0;
const minutes = (seconds: number): number => Math.max(1, whole(seconds / 60));

function ready({ stone, low, high }: Facts): Said {
  const celsius = whole(stone?.celsius ?? 0);
  return {
    message: `Launch now: stone ${celsius} °C and steady.`,
    why: { stone: celsius, changeIn2Min: tenth(stone?.change ?? 0), low, high },
  };
}

function ahead({ forecast }: EngineState, { stone, high, t }: Facts): Said {
  const inMinutes = minutes((forecast?.overAt ?? t) - t);
  const peak = whole(Math.max(...(forecast?.curves.stone.map(({ celsius }) => celsius) ?? [high])));
  const over = Math.max(1, peak - whole(high));
  const celsius = whole(stone?.celsius ?? 0);
  return {
    message: `Close the vents: stone ${celsius} °C, above ${whole(high)} °C in ${inMinutes} min and ${over} °C over before long.`,
    why: {
      stone: celsius,
      inMinutes,
      over,
      peak,
      high: whole(high),
      perMinute: tenth(stone?.perMinute ?? 0),
    },
  };
}

function overshot({ stone, high }: Facts): Said {
  const celsius = whole(stone?.celsius ?? 0);
  const over = Math.max(1, celsius - whole(high));
  return {
    message: `Stone too hot: ${celsius} °C, ${over} °C over. Close the vents and wait before the next pizza.`,
    why: { stone: celsius, over, high: whole(high) },
  };
}

function fading({ forecast }: EngineState, { stone, dome, low, t }: Facts): Said {
  const celsius = whole(stone?.celsius ?? 0);
  const inMinutes = minutes((forecast?.fadesAt ?? t) - t);
  const isBelow = (stone?.celsius ?? low) < low;
  return {
    message: isBelow
      ? `The fire is fading: stone ${celsius} °C, below ${whole(low)} °C and falling. Open the vents.`
      : `The fire is fading: stone ${celsius} °C, below ${whole(low)} °C in ${inMinutes} min. Open the vents.`,
    why: { stone: celsius, low: whole(low), inMinutes, ...(dome && { dome: whole(dome.celsius) }) },
  };
}

function due(what: 'Turn' | 'Take off', baking: Baking | null, { t }: Facts): Said {
  const onFor = whole(t - (baking?.launchedAt ?? t));
  const text = `${Math.floor(onFor / 60)}:${String(onFor % 60).padStart(2, '0')}`;
  return { message: `${what} the pizza: ${text} on the stone.`, why: { onFor, onForText: text } };
}

function lost({ channels }: EngineState, { t }: Facts): Said {
  const channel = channels.find(
    ({ role, filter }) => role !== 'other' && filter.good !== null && t - filter.good > 20,
  );
  const silent = whole(t - (channel?.filter.good ?? t));
  return {
    message: `No reading from ${channel?.id ?? 'the probe'} for ${silent} s: look at the probe and its plug.`,
    why: { channel: channel?.id ?? '', silent, patience: whole(channel ? patience(channel) : 20) },
  };
}

function doubtful({ channels }: EngineState): Said {
  const channel = channels.find(({ role, filter }) => role !== 'other' && filter.doubtful > 0);
  return {
    message: `The readings of ${channel?.id ?? 'a probe'} can't be trusted now: look at its tip and plug.`,
    why: { channel: channel?.id ?? '', doubtful: channel?.filter.doubtful ?? 0 },
  };
}

function lidOpen({ lid }: EngineState, { t, dome }: Facts): Said {
  const openFor = whole(t - lid.openedAt);
  return {
    message: `The lid seems open since ${openFor} s: shut it, the dome is cooling.`,
    why: { openFor, ...(dome && { dome: whole(dome.celsius) }), before: whole(lid.level) },
  };
}

function domeHot({ targets }: EngineState, { dome }: Facts): Said {
  const celsius = whole(dome?.celsius ?? 0);
  const limit = whole(targets.domeLimit ?? 0);
  return {
    message: `Dome ${celsius} °C, above the ${limit} °C that this grill is to bear: close the vents.`,
    why: { dome: celsius, limit },
  };
}

export function say(alert: AlertName, state: EngineState, facts: Facts, baking: Baking | null): Said {
  switch (alert) {
    case 'stone-ready':
      return ready(facts);
    case 'overshoot-ahead':
      return ahead(state, facts);
    case 'overshot':
      return overshot(facts);
    case 'fire-fading':
      return fading(state, facts);
    case 'turn-due':
      return due('Turn', baking, facts);
    case 'off-due':
      return due('Take off', baking, facts);
    case 'lid-left-open':
      return lidOpen(state, facts);
    case 'dome-too-hot':
      return domeHot(state, facts);
    case 'probe-lost':
      return lost(state, facts);
    case 'probe-doubtful':
      return doubtful(state);
  }
}
