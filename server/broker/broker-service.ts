import {
  brokerSetting,
  type BrokerSetting,
  type BrokerView,
  type PatchBroker,
} from '../../shared/api/broker.ts';
import type { Store } from '../store/store.ts';

const KEY = 'broker';

/** What others need to know of the user's broker. */
export type BrokerWatch = {
  setting(): BrokerSetting;
  /** Called whenever it was set anew. */
  watch(changed: () => void): void;
};

/** The user's MQTT broker as it is set; secrets come in and never go out. */
export class BrokerService implements BrokerWatch {
  private readonly store: Pick<Store, 'setting' | 'putSetting' | 'persisted'>;
  private set: BrokerSetting;
  private error: string | null = null;
  private readonly watchers: (() => void)[] = [];

  constructor(store: Pick<Store, 'setting' | 'putSetting' | 'persisted'>) {
    this.store = store;
    // What a damaged database says of it, nobody can connect to.
    this.set = brokerSetting.safeParse(store.setting(KEY) ?? {}).data ?? brokerSetting.parse({});
  }

  setting(): BrokerSetting {
    return this.set;
  }

  watch(changed: () => void): void {
    this.watchers.push(changed);
  }

  view(): BrokerView {
    const { access, publish } = this.set;
    return {
      publish: publish && { ...publish, error: this.error },
      access: access && {
        origin: originOf(access.url),
        version: access.version,
        username: access.username ?? null,
      },
    };
  }

  /** Why what is published does not get there; null when it does. */
  setError(error: string | null): void {
    this.error = error;
  }

  async patch({ access, publish = this.set.publish }: PatchBroker): Promise<BrokerView> {
    this.set = brokerSetting.parse({
      access: access === undefined ? this.set.access : access && this.withSecrets(access),
      publish,
    });
    this.error = null;
    this.store.putSetting(KEY, this.set);
    await this.store.persisted();
    for (const changed of this.watchers) changed();
    return this.view();
  }

  /** A password goes to the broker and user that it was given for, and to no other. */
  private withSecrets(next: NonNullable<PatchBroker['access']>): typeof next {
    const before = this.set.access;
    if (before?.url !== next.url) return next;
    const password = next.password ?? (before.username === next.username ? before.password : undefined);
    const ca = next.ca ?? before.ca;
    return { ...next, ...(password !== undefined && { password }), ...(ca !== undefined && { ca }) };
  }
}

/** `mqtt:` has no origin of its own for `URL`. */
export const originOf = (url: string): string => `${new URL(url).protocol}//${new URL(url).host}`;
