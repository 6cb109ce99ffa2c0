import { ownNodeCommand } from '../process/own-node.ts';
import type { RadioState } from './radio.ts';

type RadioError = { problem: string; remedy: string };

const OTHERWISE = 'Serial probes, posted and typed-in readings work all the same.';

/** What is wrong with the radio, and the exact remedy. */
export function radioErrorOf(state: RadioState): RadioError | null {
  if (state === 'on' || state === 'starting') return null;
  return {
    'no-library': {
      problem: 'The Bluetooth library is not installed: npm could not build it on this machine.',
      remedy: `Install a compiler (Debian: sudo apt-get install build-essential python3), delete the folder node_modules and start peelside again; where it was installed with "npm install -g", install it again. ${OTHERWISE}`,
    },
    'no-kernel': {
      problem: 'The kernel of this machine has no Bluetooth.',
      remedy: `Load it with "sudo modprobe bluetooth btusb"; in a container, run peelside on the machine itself. ${OTHERWISE}`,
    },
    'no-adapter': {
      problem: 'There is no Bluetooth adapter.',
      remedy: `Plug one in; it is found by itself. "rfkill list" shows whether one is blocked, "sudo rfkill unblock bluetooth" frees it. ${OTHERWISE}`,
    },
    'no-answer': {
      problem: 'The Bluetooth adapter does not answer.',
      remedy: 'Unplug it and plug it in again, or run "sudo systemctl restart bluetooth".',
    },
    unauthorized: {
      problem: 'peelside may not use the Bluetooth adapter.',
      remedy: `Run "${ownNodeCommand()}" once, and again when node was updated, then start peelside again: a copy of node for the radio alone gets the right, and no other script.`,
    },
    off: {
      problem: 'The Bluetooth adapter is switched off.',
      remedy:
        'Switch it on with "bluetoothctl power on" (or "sudo hciconfig hci0 up"; "sudo rfkill unblock bluetooth" where it is blocked).',
    },
    unsupported: {
      problem: 'The Bluetooth adapter is too old: it has no Low Energy.',
      remedy: 'Plug in one with Bluetooth 4.0 or newer.',
    },
  }[state];
}
