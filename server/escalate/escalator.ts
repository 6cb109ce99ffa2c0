import { randomUUID } from 'node:crypto';
import {
  escalation,
  type Broker,
  type Escalated,
  type Escalation,
  type EscalationView,
  type PatchEscalation,
  type Webhook,
} from '../../shared/escalation.ts';
import { Fault } from '../../shared/fault.ts';
import type { Now } from '../../shared/live.ts';
import type { Store } from '../store/store.ts';
import { arrived, calm, decide, failed, type Errand, type Escalating, type Target } from './decide.ts';

export type EscalatorParts = {
  store: Pick<Store, 'setting' | 'putSetting' | 'kept'>;
  now(): Pick<Now, 't' | 'cook' | 'alerts'>;
  listeners(): number;
  wall(): number;
  sendWebhook(to: Webhook, notice: Escalated): Promise<void>;
  sendMqtt(to: Broker, notice: Escalated): Promise<void>;
  /** Says it where the server runs. */
  sayHere(notice: Escalated): void;
};

const KEY = 'escalation';
const ARRIVED_KEY = 'escalated';

/** Brings urgent alerts that nobody on a page has seen to the server's terminal, and to where the user wants them. */
export class Escalator {
  private readonly parts: EscalatorParts;
  private state: Escalating;
  private set: Escalation;
  private readonly troubles = new Map<Target, string>();

  constructor(parts: EscalatorParts) {
    this.parts = parts;
    this.set = escalation.parse(parts.store.setting(KEY) ?? {});
    this.state = calm((parts.store.setting(ARRIVED_KEY) as string[] | undefined) ?? []); // written by `go` alone
  }

  private far(): Target[] {
    const { webhook, mqtt } = this.set;
    return [...(webhook ? ['webhook' as const] : []), ...(mqtt ? ['mqtt' as const] : [])];
  }

  /** To be called about once a second. */
  beat(): void {
    const { state, send } = decide(this.state, {
      now: this.parts.now(),
      listeners: this.parts.listeners(),
      targets: ['terminal', ...this.far()],
      afterSeconds: this.set.afterSeconds,
    });
    this.state = state;
    for (const errand of send) void this.go(errand);
  }

  private async go(errand: Errand): Promise<void> {
    const went = await this.sendTo(errand.target, errand.notice);
    if (!went) {
      this.state = failed(this.state, errand, this.parts.now().t ?? 0);
      return;
    }
    this.state = arrived(this.state, errand);
    this.parts.store.putSetting(ARRIVED_KEY, this.state.arrived);
  }

  private async sendTo(target: Target, notice: Escalated): Promise<boolean> {
    const { webhook, mqtt } = this.set;
    try {
      if (target === 'terminal') this.parts.sayHere(notice);
      if (target === 'webhook' && webhook) await this.parts.sendWebhook(webhook, notice);
      if (target === 'mqtt' && mqtt) await this.parts.sendMqtt(mqtt, notice);
      this.troubles.delete(target);
      return true;
    } catch (error) {
      this.troubles.set(target, error instanceof Error ? error.message : 'it could not be sent');
      return false;
    }
  }

  view(): EscalationView {
    const { afterSeconds, webhook, mqtt } = this.set;
    const trouble = (target: Target): string | null => this.troubles.get(target) ?? null;
    return {
      afterSeconds,
      webhook: webhook && { origin: new URL(webhook.url).origin, trouble: trouble('webhook') },
      mqtt: mqtt && {
        origin: `${new URL(mqtt.url).protocol}//${new URL(mqtt.url).host}`,
        topic: mqtt.topic,
        version: mqtt.version,
        trouble: trouble('mqtt'),
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
    this.troubles.clear();
    this.parts.store.putSetting(KEY, this.set);
    await this.parts.store.kept();
    return this.view();
  }

  /** Sends a trial notice to all that is set; what fails stands in the view. */
  async test(): Promise<EscalationView> {
    const notice: Escalated = {
      id: `test-${randomUUID()}`,
      alert: 'test',
      message: 'This is a trial: urgent alerts that nobody sees will come this way.',
      reason: 'test',
      cook: null,
      pizza: null,
      raisedAt: new Date(this.parts.wall()).toISOString(),
    };
    await Promise.all(this.far().map((target) => this.sendTo(target, notice)));
    return this.view();
  }
}
