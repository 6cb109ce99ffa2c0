import { messageOf } from '../../shared/fault.ts';
import type { BrokerAccess } from '../../shared/api/broker.ts';
import { openLink, type Link, type LinkEvents, type OpenLink, type Will } from './mqtt-library.ts';

/** A connection that lasted so long was a good one, ms: after it the first try comes soon. */
const STABLE_AFTER_MS = 60_000;
/** Seconds to the next try, the last of them over and over: a broker of the house is soon there again. */
const RETRY_SECONDS = [1, 2, 5, 10, 30] as const;

export type LineError = { problem: string; remedy: string };
type LineEvents = Pick<LinkEvents, 'message'> & {
  /** The broker let us in; again after each time that it was away. */
  opened(link: Link): void;
  /** It is away, or did not let us in; it is tried again by itself. */
  away(error: LineError): void;
};
type LineParts = {
  access: BrokerAccess;
  events: LineEvents;
  will?: Will;
  open?: OpenLink;
  /** Calls once after so many ms. @returns the off switch */
  after?: (ms: number, act: () => void) => () => void;
};

export type BrokerLine = { close(): Promise<void> };

/** A connection to a broker that is taken up again whenever it broke. */
export function keepLine({ access, events, will, open = openLink, after = timed }: LineParts): BrokerLine {
  let isOver = false;
  let tries = 0;
  let link: Link | null = null;
  let off = (): void => {};
  let unproved = (): void => {};

  function away(why: string): void {
    link = null;
    unproved();
    if (isOver) return;
    events.away(lineErrorOf(access, why));
    off = after((RETRY_SECONDS[Math.min(tries, RETRY_SECONDS.length - 1)] ?? 1) * 1000, () => void takeUp());
    tries += 1;
  }
  async function takeUp(): Promise<void> {
    try {
      const opened = await open(access, { message: (message) => pass(message), closed: away }, will);
      if (isOver) return await opened.close();
      unproved = after(STABLE_AFTER_MS, () => (tries = 0));
      link = opened;
      events.opened(opened);
    } catch (error) {
      away(messageOf(error));
    }
  }
  const pass: LineEvents['message'] = (message) => {
    if (!isOver) events.message(message);
  };
  void takeUp();
  return {
    async close() {
      isOver = true;
      off();
      unproved();
      await link?.close();
      link = null;
    },
  };
}

function timed(ms: number, act: () => void): () => void {
  const timer = setTimeout(act, ms);
  return () => clearTimeout(timer);
}

/** Why a broker can't be used, with the remedy; `message` is the library's or the operating system's. */
function lineErrorOf({ url }: Pick<BrokerAccess, 'url'>, message: string): LineError {
  const { host } = new URL(url);
  if (/not authori[sz]ed|bad user ?name|password/i.test(message))
    return {
      problem: `The MQTT broker ${host} does not let peelside in.`,
      remedy: 'Set the name and password that it expects (Settings, Your MQTT broker).',
    };
  if (/unacceptable protocol|unsupported protocol|protocol version/i.test(message))
    return {
      problem: `The MQTT broker ${host} does not speak this version of MQTT.`,
      remedy: 'Choose the other version (Settings, Your MQTT broker).',
    };
  if (/certificate|self.signed|unable to verify|altname/i.test(message))
    return {
      problem: `The certificate of the MQTT broker ${host} can't be trusted (${message.slice(0, 120)}).`,
      remedy:
        'Give the certificate of the authority that made it, and the name that stands in it as address (Settings, Your MQTT broker).',
    };
  if (/ENOTFOUND|EAI_AGAIN/.test(message))
    return {
      problem: `There is no machine called ${new URL(url).hostname} here.`,
      remedy: 'Set the address of the MQTT broker (Settings, Your MQTT broker), or switch that machine on.',
    };
  if (/ECONNREFUSED/.test(message))
    return {
      problem: `No MQTT broker answers at ${host}.`,
      remedy: 'Start it, or see that its port is right (1883, with TLS 8883); it is tried again by itself.',
    };
  return {
    problem: `The MQTT broker ${host} is away (${message.slice(0, 120)}).`,
    remedy: 'See that it runs and that this machine is in its network; it is tried again by itself.',
  };
}
