import { messageOf } from '../../shared/fault.ts';
import type { BrokerService } from './broker-service.ts';
import { DISCONNECT_TIMEOUT_MS, type Link, type Message, type OpenLink } from './mqtt-library.ts';
import { keepLine, type BrokerLine } from './broker-connection.ts';
import { messagesOf, type Seen } from './published-messages.ts';

type PublisherParts = {
  broker: Pick<BrokerService, 'setting' | 'watch' | 'setError'>;
  document: { now(): Seen };
  /** ms */
  clock: { mono(): number };
  open?: OpenLink;
};

/** A forecast is made anew with each reading; nobody needs each, ms. */
const FORECAST_EVERY_MS = 10_000;
/** What a broker kept of earlier cooks comes soon after it is asked for, ms. */
const SWEEP_FOR_MS = 3000;

const status = (is: 'here' | 'gone'): string => JSON.stringify({ status: is });

/**
 * Publishes the live document to the user's broker, retained, where it is set to: each message when it changed, the next
 * of a topic once the broker has taken the last. What is no more is taken back, what an earlier run left behind too.
 */
export class Publisher {
  private readonly parts: PublisherParts;
  private line: BrokerLine | null = null;
  private link: Link | null = null;
  private prefix = '';
  /** By topic, what the broker has. */
  private readonly published = new Map<string, string>();
  private readonly onTheirWay = new Set<string>();
  private readonly leftBehind = new Set<string>();
  private forecastAt = -Infinity;
  private sweepUntil: number | null = null;

  constructor(parts: PublisherParts) {
    this.parts = parts;
    parts.broker.watch(() => void this.begin());
  }

  /** Connects where it is set to; again whenever it was set anew. */
  async begin(): Promise<void> {
    await this.stop();
    const { access, publish } = this.parts.broker.setting();
    if (!access || !publish) return;
    this.prefix = publish.prefix;
    this.line ??= keepLine({
      access,
      will: { topic: this.full('status'), payload: status('gone') },
      open: this.parts.open,
      events: {
        message: (message) => this.found(message),
        opened: (link) => this.opened(link),
        away: ({ problem }) => {
          this.link = null;
          this.parts.broker.setError(problem);
        },
      },
    });
  }

  /** Says that it is gone, as its last will would. */
  async stop(): Promise<void> {
    const { link, line } = this;
    this.line = null;
    this.link = null;
    if (link)
      await link
        .publish(this.full('status'), status('gone'), { retain: true, timeoutMs: DISCONNECT_TIMEOUT_MS })
        .catch(() => {});
    await line?.close();
  }

  /** To be called about once a second. */
  tick(): void {
    const { link } = this;
    if (!link) return;
    const messages = messagesOf(this.parts.document.now()).set('status', status('here'));
    this.sweep(link);
    const before = this.published.get('forecast');
    const isSoon = this.parts.clock.mono() - this.forecastAt < FORECAST_EVERY_MS;
    if (isSoon && before !== undefined && messages.has('forecast')) messages.set('forecast', before);
    else this.forecastAt = this.parts.clock.mono();
    for (const topic of [...this.published.keys(), ...this.leftBehind])
      if (!messages.has(topic)) void this.send(link, topic, '');
    for (const [topic, payload] of messages)
      if (this.published.get(topic) !== payload) void this.send(link, topic, payload);
    this.leftBehind.clear();
  }

  private opened(link: Link): void {
    this.link = link;
    this.published.clear();
    this.onTheirWay.clear();
    this.forecastAt = -Infinity;
    this.sweepUntil = this.parts.clock.mono() + SWEEP_FOR_MS;
    this.parts.broker.setError(null);
    for (const topic of SWEPT_TOPICS) link.subscribe(this.full(topic)).catch(() => {});
    this.tick();
  }

  /** Something retained of an earlier run; what is current is published anew. */
  private found({ topic, payload, retained }: Message): void {
    const own = topic.slice(this.prefix.length + 1);
    if (retained && payload.length > 0 && !this.published.has(own)) this.leftBehind.add(own);
  }

  private sweep(link: Link): void {
    if (this.sweepUntil === null || this.parts.clock.mono() < this.sweepUntil) return;
    this.sweepUntil = null;
    for (const topic of SWEPT_TOPICS) link.unsubscribe(this.full(topic)).catch(() => {});
  }

  /** An empty payload takes a retained message back (MQTT 5.0, 3.3.1.3). */
  private async send(link: Link, topic: string, payload: string): Promise<void> {
    if (this.onTheirWay.has(topic)) return;
    this.onTheirWay.add(topic);
    try {
      await link.publish(this.full(topic), payload, { retain: true });
      if (this.link !== link) return;
      if (payload === '') this.published.delete(topic);
      else this.published.set(topic, payload);
      this.parts.broker.setError(null);
    } catch (error) {
      if (this.link === link) this.parts.broker.setError(`${topic} was not taken: ${messageOf(error)}.`);
    } finally {
      this.onTheirWay.delete(topic);
    }
  }

  private full(topic: string): string {
    return `${this.prefix}/${topic}`;
  }
}

const SWEPT_TOPICS = ['reading/+', 'forecast'] as const;
