import type { Device, FrameBody, Source, SourceEvents } from '../../server/source/source.ts';
import type { Subscription } from '../../server/source/subscription.ts';

/** A source without a transport: its device sends what `say` is given, while it is subscribed to. */
export class FakeSource implements Source {
  readonly kind = 'ble';
  private events: SourceEvents | null = null;
  private subscriptions: readonly Subscription[] = [];
  private looked: Subscription | null = null;
  private timer: NodeJS.Timeout | undefined;
  private readonly device: Device;

  constructor(id: string) {
    this.device = { id, name: 'Fake', link: 'seen' };
  }

  start(events: SourceEvents): void {
    if (this.events) return;
    this.events = events;
    queueMicrotask(() => this.tell());
  }

  subscribe(subscriptions: readonly Subscription[]): void {
    this.subscriptions = subscriptions;
    this.tell();
  }

  look(at: Subscription, seconds: number): void {
    this.looked = at;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.looked = null;
      this.tell();
    }, seconds * 1000);
    this.tell();
  }

  async stop(): Promise<void> {
    clearTimeout(this.timer);
    this.events?.status({ source: 'ble', state: 'off', devices: [] });
    this.events = null;
  }

  emit(body: FrameBody): void {
    if (this.isAsked()) this.events?.frame(body);
  }

  private isAsked(): boolean {
    const all = this.looked ? [...this.subscriptions, this.looked] : this.subscriptions;
    return all.some(
      (subscription) => subscription.source === 'ble' && subscription.device === this.device.id,
    );
  }

  private tell(): void {
    this.device.link = this.isAsked() ? 'connected' : 'seen';
    this.events?.status({ source: 'ble', state: 'running', devices: [{ ...this.device }] });
  }
}
