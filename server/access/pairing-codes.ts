import { Fault } from '../../shared/fault.ts';
import type { Right } from '../../shared/api/access.ts';
import { createLimit } from './rate-limit.ts';
import { countedAs } from './private-networks.ts';
import { newCode, same } from './secret.ts';

/** A code lives this long, s, lets in one device, and ends after this many wrong tries by whoever. */
export const CODE_SECONDS = 600;
export const CODE_TRIES = 10;
/** Open at once: one shown on the terminal, some on trusted screens. */
const MAX_OPEN = 4;
/**
 * Wrong or right, of one address and of all together: with 10^8 codes a year of guessing finds one with 1 in
 * 50.
 */
const ATTEMPTS_PER_ADDRESS = { most: 5, perSecond: 1 / 120 };
const ATTEMPTS_OF_ALL = { most: 20, perSecond: 1 / 60 };

export type Code = { digits: string; right: Right; /** s */ until: number };
type Open = Code & { wrong: number };

type Codes = {
  /** A new code; the oldest is dropped where too many are open. @param at s on a clock that never jumps */
  open(right: Right, at: number): Code;
  /**
   * The right that a code gives; it is used up by that.
   * @throws Fault `too-many` after too many tries; `forbidden` when it is none that is open
   */
  use(typed: string, address: string, at: number): Right;
  /** Whether this code still lets a device in. */
  isOpen(digits: string, at: number): boolean;
};

export function createCodes(make: () => string = newCode): Codes {
  const each = createLimit(ATTEMPTS_PER_ADDRESS);
  const all = createLimit(ATTEMPTS_OF_ALL);
  let open: Open[] = [];

  const living = (at: number): Open[] => open.filter((code) => code.until > at && code.wrong < CODE_TRIES);
  return {
    open(right, at) {
      const code = { digits: make(), right, until: at + CODE_SECONDS, wrong: 0 };
      open = [...living(at).slice(1 - MAX_OPEN), code];
      return code;
    },
    use(typed, address, at) {
      // The address first: one that guesses does not use up what all others have.
      if (!each.take(countedAs(address), at) || !all.take('all', at))
        throw new Fault('too-many', 'Too many codes were tried: wait some minutes, then take a new code.');
      open = living(at);
      const digits = typed.replaceAll(/[\s-]/g, '');
      const found = open.find((code) => same(code.digits, digits));
      if (!found) {
        open = open.map((code) => ({ ...code, wrong: code.wrong + 1 }));
        throw new Fault(
          'forbidden',
          'That code is not valid now: see the server’s terminal or a trusted screen.',
        );
      }
      open = open.filter((code) => code !== found);
      return found.right;
    },
    isOpen: (digits, at) => living(at).some((each) => each.digits === digits),
  };
}
