import type { BleSubscription } from '../subscription.ts';

/** What is subscribed to: what probes need permanently, and what somebody looks at for a while. */
export class Subscriptions {
  permanent: readonly BleSubscription[] = [];
  private looks: { subscription: BleSubscription; until: number }[] = [];

  /** A later look at the same place replaces an earlier one. */
  look(subscription: BleSubscription, until: number): void {
    this.looks = this.looks.filter((look) => placeOf(look.subscription) !== placeOf(subscription));
    this.looks.push({ subscription, until });
  }

  expire(now: number): void {
    this.looks = this.looks.filter((look) => look.until > now);
  }

  of(device: string): BleSubscription[] {
    const all = [...this.permanent, ...this.looks.map((look) => look.subscription)];
    return all.filter((subscription) => subscription.device.toLowerCase() === device);
  }
}

/** An advertisement arrives without a connection. */
export const needsLink = (subscriptions: readonly BleSubscription[]): boolean =>
  subscriptions.some((subscription) => subscription.advert === undefined);

const placeOf = ({ device, service, characteristic, advert }: BleSubscription): string =>
  [device.toLowerCase(), service, characteristic, advert].join(' ');
