import type { BleWant } from '../want.ts';

/** What is to be heard: what probes want for good, and what somebody looks at for a while. */
export class Wishes {
  wanted: readonly BleWant[] = [];
  private looks: { want: BleWant; until: number }[] = [];

  /** A later look at the same place replaces an earlier one. */
  look(want: BleWant, until: number): void {
    this.looks = this.looks.filter((look) => placeOf(look.want) !== placeOf(want));
    this.looks.push({ want, until });
  }

  expire(now: number): void {
    this.looks = this.looks.filter((look) => look.until > now);
  }

  of(device: string): BleWant[] {
    const all = [...this.wanted, ...this.looks.map((look) => look.want)];
    return all.filter((want) => want.device.toLowerCase() === device);
  }
}

/** An advertisement is heard without a connection. */
export const needsLink = (wants: readonly BleWant[]): boolean =>
  wants.some((want) => want.advert === undefined);

const placeOf = ({ device, service, characteristic, advert }: BleWant): string =>
  [device.toLowerCase(), service, characteristic, advert].join(' ');
