import { connectionComplete, obey, send, type Controller, type End, type Link } from './controller.ts';
import { ACL, COMMAND, acl, advertisingReport, event, l2cap } from './hci.ts';

const LOST = 0x08;

/** What is between the controllers: advertisements, links, and packets both ways. */
export class Medium {
  readonly controllers = new Map<string, Controller>();
  readonly outOfRange = new Set<string>();
  /** Peripherals that advertise and do not let themselves be connected to. */
  readonly refusing = new Set<string>();
  /** Peripherals of which nothing comes over a link. */
  readonly silent = new Set<string>();
  private nextHandle = 0x40;
  private readonly timers = new Map<string, NodeJS.Timeout>();

  add(controller: Controller): void {
    this.controllers.set(controller.address, controller);
    this.advertiseAgain(controller);
  }

  take(from: Controller, packet: Buffer): void {
    if (!from.powered) return;
    if (packet[0] === COMMAND) obey(from, packet, this);
    else if (packet[0] === ACL) this.carry(from, packet);
  }

  /** A connection is made at the next advertisement of the other. */
  connect(): void {}

  disconnect(link: Link, by: Controller | null, reason: number): void {
    for (const end of [link.central, link.peripheral]) {
      end.controller.links.delete(end.handle);
      const code = end.controller === by ? 0x16 : reason;
      send(end.controller, event(0x05, 0, end.handle & 0xff, end.handle >> 8, code));
    }
  }

  /** As if out of range: both sides notice after their supervision time, which the tests need not wait for. */
  drop(address: string): void {
    for (const link of this.linksOf(address)) this.disconnect(link, null, LOST);
  }

  power(controller: Controller, on: boolean): void {
    const links = [...controller.links.values()];
    controller.powered = on;
    for (const link of links) this.disconnect(link, null, LOST);
    Object.assign(controller, { scanning: false, advertising: false, connecting: null });
  }

  linksOf(address: string): Link[] {
    return [...(this.controllers.get(address)?.links.values() ?? [])];
  }

  /** Puts an advertisement on the air that no peripheral made. */
  broadcast(address: string, data: Buffer, type = 3, rssi = -70): void {
    for (const controller of this.controllers.values())
      if (controller.scanning) send(controller, advertisingReport(type, address, data, rssi));
  }

  close(): void {
    for (const timer of this.timers.values()) clearTimeout(timer);
  }

  private advertiseAgain(controller: Controller): void {
    const turn = (): void => {
      this.advertise(controller);
      this.advertiseAgain(controller);
    };
    this.timers.set(controller.address, setTimeout(turn, Math.max(20, controller.interval)));
  }

  private advertise(controller: Controller): void {
    if (!controller.advertising || !controller.powered || this.outOfRange.has(controller.address)) return;
    for (const other of this.controllers.values()) {
      if (other === controller || !other.powered) continue;
      if (other.scanning) this.report(controller, other);
      if (other.connecting?.address === controller.address && !this.refusing.has(controller.address)) {
        this.link(other, controller, other.connecting.supervision);
        return;
      }
    }
  }

  private report(from: Controller, to: Controller): void {
    if (to.filterDuplicates && to.reported.has(from.address)) return;
    to.reported.add(from.address);
    send(to, advertisingReport(0, from.address, from.advert, -60));
    if (from.scanResponse.length > 0) send(to, advertisingReport(4, from.address, from.scanResponse, -60));
  }

  private link(central: Controller, peripheral: Controller, supervision: number): void {
    central.connecting = null;
    peripheral.advertising = false;
    const ends: [End, End] = [
      { controller: central, handle: this.nextHandle++ },
      { controller: peripheral, handle: this.nextHandle++ },
    ];
    const link: Link = {
      central: ends[0],
      peripheral: ends[1],
      supervision,
      duplicated: false,
      garbled: [],
    };
    for (const [role, end] of ends.entries()) {
      const peer = ends[1 - role]?.controller.address ?? '';
      end.controller.links.set(end.handle, link);
      send(end.controller, connectionComplete(0, end.handle, role, peer, supervision));
    }
  }

  private carry(from: Controller, packet: Buffer): void {
    const handle = packet.readUInt16LE(1) & 0x0fff;
    const isFirst = packet.readUInt16LE(1) >> 12 !== 0x1;
    const link = from.links.get(handle);
    if (!link) return;
    // Number Of Completed Packets
    send(from, event(0x13, 1, handle & 0xff, handle >> 8, 1, 0));
    const fromPeripheral = link.peripheral.controller === from;
    const to = fromPeripheral ? link.central : link.peripheral;
    if (fromPeripheral && this.silent.has(from.address)) return;
    const garbled = fromPeripheral ? link.garbled.shift() : undefined;
    const data = garbled ? l2cap(garbled) : packet.subarray(5);
    const times = fromPeripheral && link.duplicated && isNotification(data) ? 2 : 1;
    for (let i = 0; i < times; i += 1) send(to.controller, acl(to.handle, isFirst, data));
  }
}

/** Handle value notification 0x1B on the attribute channel. */
const isNotification = (l2capPacket: Buffer): boolean => l2capPacket[2] === 4 && l2capPacket[4] === 0x1b;
