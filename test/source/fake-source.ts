import type { Device, FrameBody, Source, SourceEvents } from '../../server/source/source.ts';
import type { Want } from '../../server/source/want.ts';

/** A source without a transport: its one device says what `say` is given, while it is wanted or looked at. */
export class FakeSource implements Source {
  readonly kind = 'ble';
  private events: SourceEvents | null = null;
  private wanted: readonly Want[] = [];
  private looked: Want | null = null;
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

  want(wanted: readonly Want[]): void {
    this.wanted = wanted;
    this.tell();
  }

  look(at: Want, seconds: number): void {
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

  say(body: FrameBody): void {
    if (this.isAsked()) this.events?.frame(body);
  }

  private isAsked(): boolean {
    const all = this.looked ? [...this.wanted, this.looked] : this.wanted;
    return all.some((want) => want.source === 'ble' && want.device === this.device.id);
  }

  private tell(): void {
    this.device.link = this.isAsked() ? 'connected' : 'seen';
    this.events?.status({ source: 'ble', state: 'running', devices: [{ ...this.device }] });
  }
}
