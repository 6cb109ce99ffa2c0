import { messageOf } from '../../../shared/fault.ts';
import { takesTopic } from '../../broker/topic-filter.ts';
import { keepLine, type BrokerLine, type LineError } from '../../broker/broker-connection.ts';
import type { BrokerWatch } from '../../broker/broker-service.ts';
import type { Link, Message, OpenLink } from '../../broker/mqtt-library.ts';
import { systemClock, type Clock } from '../timing.ts';
import type { Device, Source, SourceEvents, SourceStatus } from '../source.ts';
import type { MqttSubscription, Subscription } from '../subscription.ts';

type MqttOptions = { broker: BrokerWatch; open?: OpenLink; clock?: Clock };

/** More is no reading; as shared/recording.ts has it, characters. */
const MAX_PAYLOAD = 4096;
/** Topics that are listed: a filter such as `#` may bring any number. */
const MAX_TOPICS = 40;
/** What nobody listens to any more is listed for so long, ms. */
const LISTED_FOR_MS = 600_000;

type SeenTopic = { at: number; problem?: string };

/**
 * Topics of the user's own broker. Probes subscribe to topics; a look may name many by `+` and `#`, and what
 * comes is listed. Without a broker, or without a subscription, there is no connection.
 */
export class MqttSource implements Source {
  readonly kind = 'mqtt';
  private readonly broker: BrokerWatch;
  private readonly open: OpenLink | undefined;
  private readonly clock: Clock;
  private events: SourceEvents | null = null;
  private subscriptions: readonly MqttSubscription[] = [];
  private looks: { topic: string; until: number }[] = [];
  private readonly seenTopics = new Map<string, SeenTopic>();
  private line: BrokerLine | null = null;
  private link: Link | null = null;
  private error: LineError | null = null;
  /** Filters that the link was asked for, and why the broker refused one. */
  private readonly asked = new Map<string, string | null>();
  private off: () => void = () => {};
  private lastEmitted = '';

  constructor({ broker, open, clock = systemClock }: MqttOptions) {
    this.broker = broker;
    this.open = open;
    this.clock = clock;
    broker.watch(() => void this.begin());
  }

  start(events: SourceEvents): void {
    if (this.events) return;
    this.events = events;
    this.reconcile();
  }

  subscribe(subscriptions: readonly Subscription[]): void {
    this.subscriptions = subscriptions.filter((each) => each.source === 'mqtt');
    this.reconcile();
  }

  look(at: Subscription, seconds: number): void {
    if (at.source !== 'mqtt') return;
    this.looks = this.looks.filter((look) => look.topic !== at.topic);
    this.looks.push({ topic: at.topic, until: this.clock.now() + seconds * 1000 });
    this.reconcile();
  }

  async stop(): Promise<void> {
    this.off();
    const { events } = this;
    this.events = null;
    await this.hangUp();
    this.seenTopics.clear();
    this.looks = [];
    this.subscriptions = [];
    this.lastEmitted = '';
    events?.status({ source: 'mqtt', state: 'off', devices: [] });
  }

  /** With another broker all begins anew. */
  private async begin(): Promise<void> {
    await this.hangUp();
    this.seenTopics.clear();
    this.reconcile();
  }

  private async hangUp(): Promise<void> {
    const { line } = this;
    this.line = null;
    this.link = null;
    this.error = null;
    this.asked.clear();
    await line?.close();
  }

  private reconcile(): void {
    if (!this.events) return;
    this.off();
    const now = this.clock.now();
    this.looks = this.looks.filter((look) => look.until > now);
    for (const [topic, { at }] of this.seenTopics)
      if (now - at > LISTED_FOR_MS && !this.isListenedTo(topic)) this.seenTopics.delete(topic);
    const filters = this.filters();
    const { access } = this.broker.setting();
    if (filters.size === 0 || !access) void this.hangUp();
    else this.line ??= this.newLine(access);
    this.updateFilters(filters);
    const next = Math.min(...this.looks.map((look) => look.until), now + LISTED_FOR_MS);
    this.off = this.clock.after(Math.max(0, next - now) + 1, () => this.reconcile());
    this.tell();
  }

  private filters(): Set<string> {
    return new Set([...this.subscriptions, ...this.looks].map(({ topic }) => topic));
  }

  private isListenedTo(topic: string): boolean {
    return [...this.filters()].some((filter) => takesTopic(filter, topic));
  }

  private newLine(access: Parameters<OpenLink>[0]): BrokerLine {
    return keepLine({
      access,
      open: this.open,
      after: (ms, act) => this.clock.after(ms, act),
      events: {
        message: (message) => this.took(message),
        opened: (link) => {
          this.link = link;
          this.error = null;
          this.reconcile();
        },
        away: (error) => {
          this.link = null;
          this.error = error;
          this.asked.clear();
          this.tell();
        },
      },
    });
  }

  private updateFilters(filters: ReadonlySet<string>): void {
    const { link } = this;
    if (!link) return;
    for (const filter of this.asked.keys()) {
      if (filters.has(filter)) continue;
      this.asked.delete(filter);
      link.unsubscribe(filter).catch(() => {});
    }
    for (const filter of filters) {
      if (this.asked.has(filter)) continue;
      this.asked.set(filter, null);
      link.subscribe(filter).catch((error: unknown) => {
        if (this.link !== link || !this.asked.has(filter)) return;
        this.asked.set(filter, messageOf(error));
        this.tell();
      });
    }
  }

  private took({ topic, payload, retained }: Message): void {
    const { events } = this;
    if (!events || topic.length > 200 || !this.isListenedTo(topic) || this.isOwn(topic)) return;
    const problem = unreadable(payload);
    const before = this.seenTopics.get(topic);
    if (
      !before &&
      this.seenTopics.size >= MAX_TOPICS &&
      !this.subscriptions.some((each) => each.topic === topic)
    )
      return;
    this.seenTopics.set(topic, { at: this.clock.now(), ...(problem !== undefined && { problem }) });
    if (!before || before.problem !== problem) this.tell();
    if (problem !== undefined) return;
    const text = Buffer.from(payload).toString('utf8');
    events.frame({ source: 'mqtt', topic, payload: text, ...(retained && { retained: true as const }) });
  }

  /** What this peelside publishes itself is no measurement. */
  private isOwn(topic: string): boolean {
    const { publish } = this.broker.setting();
    return publish !== null && topic.startsWith(`${publish.prefix}/`);
  }

  private tell(): void {
    const { access } = this.broker.setting();
    const topics = new Set([
      ...this.subscriptions.map(({ topic }) => topic),
      ...this.named(),
      ...this.seenTopics.keys(),
    ]);
    const status: SourceStatus = {
      source: 'mqtt',
      ...this.state(access !== null),
      devices: [...topics].map((topic) => this.deviceOf(topic)),
    };
    const text = JSON.stringify(status);
    if (text === this.lastEmitted) return;
    this.lastEmitted = text;
    this.events?.status(status);
  }

  /** Topics that a look names by their own name. */
  private named(): string[] {
    return this.looks.map(({ topic }) => topic).filter((topic) => !/[#+]/.test(topic));
  }

  private state(isSet: boolean): Omit<SourceStatus, 'source' | 'devices'> {
    if (!isSet) return this.subscriptions.length > 0 ? { state: 'failed', ...NO_BROKER } : { state: 'off' };
    if (this.error) return { state: 'failed', ...this.error };
    const refused = [...this.asked].find(([filter, why]) => why !== null && /[#+]/.test(filter));
    if (refused) return { state: 'failed', ...refusal(refused[0]) };
    return { state: this.link || !this.line ? 'running' : 'starting' };
  }

  private deviceOf(topic: string): Device {
    const isSubscribed = this.subscriptions.some((each) => each.topic === topic);
    const isNamed = isSubscribed || this.named().includes(topic);
    const problem = this.seenTopics.get(topic)?.problem;
    const refused = typeof this.asked.get(topic) === 'string';
    const base = { id: topic, name: topic };
    if (this.isOwn(topic)) return { ...base, link: 'lost', ...OWN };
    if (refused) return { ...base, link: 'lost', ...refusal(topic) };
    if (isNamed && this.link)
      return { ...base, link: 'connected', ...(problem && { problem, remedy: SEND_TEXT }) };
    if (isSubscribed) return { ...base, link: 'lost', ...(this.error ?? NO_BROKER) };
    return { ...base, link: isNamed ? 'connecting' : 'seen', ...(problem && { problem, remedy: SEND_TEXT }) };
  }
}

const NO_BROKER: LineError = {
  problem: 'The MQTT broker is not connected.',
  remedy: 'Set its address (Settings, Your MQTT broker).',
};
const refusal = (topic: string): LineError => ({
  problem: `The MQTT broker does not let peelside read ${topic}.`,
  remedy: 'Allow it in the broker’s list of who may read what.',
});
const OWN: LineError = {
  problem: 'This is what peelside itself publishes: no measurement.',
  remedy: 'Choose the topic that the thermometer publishes.',
};
const SEND_TEXT = 'Let it send a number, or JSON, as text.';

function unreadable(payload: Uint8Array): string | undefined {
  if (payload.length > MAX_PAYLOAD) return `It sends ${payload.length} bytes: too many for a reading.`;
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(payload);
    return undefined;
  } catch {
    return 'It sends bytes that are no text.';
  }
}
