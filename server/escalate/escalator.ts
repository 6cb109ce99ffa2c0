import { randomUUID } from 'node:crypto';
import {
  escalation,
  type Broker,
  type Escalated,
  type Escalation,
  type EscalationView,
  type PatchEscalation,
  type Webhook,
} from '../../shared/api/escalation.ts';
import { Fault } from '../../shared/fault.ts';
import { originOf } from '../broker/broker-service.ts';
import type { Store } from '../store/store.ts';
import {
  arrived,
  initialState,
  dueDeliveries,
  failed,
  type Delivery,
  type EscalationState,
  type Seen,
  type Target,
} from './deliveries.ts';

export type EscalatorParts = {
  store: Pick<Store, 'setting' | 'putSetting' | 'persisted'>;
  document: { now(): Seen['now'] };
  pages: { listeners(): number };
  clock: { wall(): number };
  sendWebhook(to: Webhook, notice: Escalated): Promise<void>;
  sendMqtt(to: Broker, notice: Escalated): Promise<void>;
  /** Says it where the server runs. */
  announceHere(notice: Escalated): void;
};

const KEY = 'escalation';
const ARRIVED_KEY = 'escalated';

/** Brings urgent alerts that nobody on a page has seen to the server's terminal, and to where the user wants them. */
export class Escalator {
  private readonly parts: EscalatorParts;
  private state: EscalationState;
  private set: Escalation;
  private readonly errors = new Map<Target, string>();

  constructor(parts: EscalatorParts) {
    this.parts = parts;
    this.set = escalation.parse(parts.store.setting(KEY) ?? {});
    this.state = initialState((parts.store.setting(ARRIVED_KEY) as string[] | undefined) ?? []); // written by `deliver` alone
  }

  private remoteTargets(): Target[] {
    const { webhook, mqtt } = this.set;
    return [...(webhook ? ['webhook' as const] : []), ...(mqtt ? ['mqtt' as const] : [])];
  }

  /** To be called about once a second. */
  tick(): void {
    const { state, send } = dueDeliveries(this.state, {
      now: this.parts.document.now(),
      listeners: this.parts.pages.listeners(),
      targets: ['terminal', ...this.remoteTargets()],
      afterSeconds: this.set.afterSeconds,
    });
    this.state = state;
    for (const delivery of send) void this.deliver(delivery);
  }

  private async deliver(delivery: Delivery): Promise<void> {
    const isDelivered = await this.sendTo(delivery.target, delivery.notice);
    if (!isDelivered) {
      this.state = failed(this.state, delivery, this.parts.document.now().t ?? 0);
      return;
    }
    this.state = arrived(this.state, delivery);
    this.parts.store.putSetting(ARRIVED_KEY, this.state.arrived);
  }

  private async sendTo(target: Target, notice: Escalated): Promise<boolean> {
    const { webhook, mqtt } = this.set;
    try {
      if (target === 'terminal') this.parts.announceHere(notice);
      if (target === 'webhook' && webhook) await this.parts.sendWebhook(webhook, notice);
      if (target === 'mqtt' && mqtt) await this.parts.sendMqtt(mqtt, notice);
      this.errors.delete(target);
      return true;
    } catch (error) {
      this.errors.set(target, error instanceof Error ? error.message : 'it could not be sent');
      return false;
    }
  }

  view(): EscalationView {
    const { afterSeconds, webhook, mqtt } = this.set;
    const errorOf = (target: Target): string | null => this.errors.get(target) ?? null;
    return {
      afterSeconds,
      webhook: webhook && { origin: new URL(webhook.url).origin, error: errorOf('webhook') },
      mqtt: mqtt && {
        origin: originOf(mqtt.url),
        topic: mqtt.topic,
        version: mqtt.version,
        error: errorOf('mqtt'),
      },
    };
  }

  /** @throws Fault `invalid` when a webhook has no secret yet */
  async patch({ afterSeconds, webhook, mqtt }: PatchEscalation): Promise<EscalationView> {
    const before = this.set;
    const secret = webhook?.secret ?? before.webhook?.secret;
    if (webhook && secret === undefined)
      throw new Fault(
        'invalid',
        'webhook.secret: a webhook needs a secret of 16 letters or more.',
        'webhook.secret',
      );
    // A password goes to the broker that it was given for, and to no other.
    const password = mqtt?.password ?? (mqtt?.url === before.mqtt?.url ? before.mqtt?.password : undefined);
    this.set = escalation.parse({
      afterSeconds: afterSeconds ?? before.afterSeconds,
      webhook: webhook === undefined ? before.webhook : webhook && { ...webhook, secret },
      mqtt:
        mqtt === undefined ? before.mqtt : mqtt && { ...mqtt, ...(password !== undefined && { password }) },
    });
    this.errors.clear();
    this.parts.store.putSetting(KEY, this.set);
    await this.parts.store.persisted();
    return this.view();
  }

  /** Sends a trial notice to all that is set; what fails stands in the view. */
  async test(): Promise<EscalationView> {
    const notice: Escalated = {
      id: `test-${randomUUID()}`,
      alert: 'test',
      message: 'This is a test: urgent alerts that nobody sees will come this way.',
      reason: 'test',
      cook: null,
      pizza: null,
      raisedAt: new Date(this.parts.clock.wall()).toISOString(),
    };
    await Promise.all(this.remoteTargets().map((target) => this.sendTo(target, notice)));
    return this.view();
  }
}
