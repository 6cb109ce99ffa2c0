import type { Now } from '../../../shared/api/live.ts';
import { QUALITIES, STONE_STATES } from '../../../shared/words.ts';
import { states, type Family, type Sample } from './exposition.ts';

/** What the process says of itself: seconds, bytes. */
export type Health = {
  version: string;
  /** Writes that wait for the next commit, and those left out since the start. */
  queue: number;
  dropped: number;
  /** How late the event loop was lately, by quantile. */
  loopDelay: Record<'0.5' | '0.99' | '1.0', number>;
  cpuSeconds: number;
  residentBytes: number;
};

const SOURCE_STATES = ['off', 'starting', 'running', 'failed'] as const;

/** The live document as metrics. A rehearsal measures nothing, so that it is as if there were no cook. Pure. */
export function familiesOf(now: Now, health: Health): Family[] {
  const isCooking = now.cook !== null && !now.cook.rehearsal;
  return [
    ...(isCooking ? [...channelFamilies(now.channels), ...cookFamilies(now)] : []),
    {
      name: 'peelside_cook_running',
      type: 'gauge',
      help: '1 while a cook is on that is no rehearsal.',
      samples: [{ value: isCooking ? 1 : 0 }],
    },
    {
      name: 'peelside_source',
      type: 'stateset',
      help: 'State of what brings data in.',
      samples: now.sources.flatMap(({ source, state }) =>
        states('peelside_source', SOURCE_STATES, state, { source }),
      ),
    },
    ...healthFamilies(health),
  ];
}

function channelFamilies(channels: Now['channels']): Family[] {
  const gauge = (
    name: string,
    unit: string,
    help: string,
    valueOf: (channel: Now['channels'][number]) => number | null,
  ): Family => ({
    name: `peelside_channel_${name}`,
    type: 'gauge',
    unit,
    help,
    samples: channels.flatMap((channel) => sampleOf(channel, valueOf(channel))),
  });
  return [
    gauge('celsius', 'celsius', 'Last reading; none where it is no value.', (channel) =>
      channel.quality === 'bad' ? null : channel.celsius,
    ),
    gauge(
      'estimate_celsius',
      'celsius',
      'Filtered value, or that of the heat model.',
      (channel) => channel.estimate,
    ),
    gauge('rate_celsius_per_minute', 'celsius_per_minute', 'Rate of change.', (channel) => channel.perMinute),
    gauge('age_seconds', 'seconds', 'Since the last reading.', (channel) => channel.age),
    {
      name: 'peelside_channel_stale',
      type: 'gauge',
      help: '1 where readings stay away.',
      samples: channels.flatMap((channel) => sampleOf(channel, channel.stale ? 1 : 0)),
    },
    {
      name: 'peelside_channel_quality',
      type: 'stateset',
      help: 'How far the last reading can be trusted.',
      samples: channels.flatMap(({ id, role, quality }) =>
        states('peelside_channel_quality', QUALITIES, quality, { channel: id, role }),
      ),
    },
  ];
}

const sampleOf = ({ id, role }: Now['channels'][number], value: number | null): Sample[] =>
  value === null ? [] : [{ labels: { channel: id, role }, value }];

const cookFamilies = ({ state, t, alerts, lidOpen }: Now): Family[] => [
  {
    name: 'peelside_stone_state',
    type: 'stateset',
    help: 'State of the stone.',
    samples: states('peelside_stone_state', STONE_STATES, state),
  },
  {
    name: 'peelside_cook_seconds',
    type: 'gauge',
    unit: 'seconds',
    help: 'Since the cook began.',
    samples: t === null ? [] : [{ value: t }],
  },
  {
    name: 'peelside_lid_open',
    type: 'gauge',
    help: '1 while the lid is open.',
    samples: [{ value: lidOpen ? 1 : 0 }],
  },
  {
    name: 'peelside_alert_standing',
    type: 'gauge',
    help: 'Alerts that stand, in the states of ISA-18.2.',
    samples: alerts.map(({ alert, urgency, state: life, pizza = '' }) => ({
      labels: { alert, urgency, state: life, pizza },
      value: 1,
    })),
  },
];

function healthFamilies({ version, queue, dropped, loopDelay, cpuSeconds, residentBytes }: Health): Family[] {
  const gauge = (name: string, help: string, value: number, unit?: string): Family => ({
    name,
    type: 'gauge',
    ...(unit && { unit }),
    help,
    samples: [{ value }],
  });
  return [
    {
      name: 'peelside_build',
      type: 'info',
      help: 'What runs.',
      samples: [{ labels: { version }, value: 1 }],
    },
    gauge('peelside_writes_waiting', 'Writes that wait for the next commit.', queue),
    {
      name: 'peelside_writes_dropped',
      type: 'counter',
      help: 'Writes left out because they can never be kept.',
      samples: [{ value: dropped }],
    },
    {
      name: 'peelside_event_loop_delay_seconds',
      type: 'summary',
      unit: 'seconds',
      help: 'How late the event loop was since the last scrape.',
      samples: Object.entries(loopDelay).map(([quantile, value]) => ({ labels: { quantile }, value })),
    },
    {
      name: 'process_cpu_seconds',
      type: 'counter',
      unit: 'seconds',
      help: 'User and system time.',
      samples: [{ value: cpuSeconds }],
    },
    gauge('process_resident_memory_bytes', 'Resident memory.', residentBytes, 'bytes'),
  ];
}
