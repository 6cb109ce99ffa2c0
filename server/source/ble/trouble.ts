import { realpathSync } from 'node:fs';
import type { RadioState } from './radio.ts';

export type Trouble = { problem: string; mend: string };

const OTHERWISE = 'Serial probes, posted and typed-in readings work all the same.';

/** What is wrong with the radio, and the exact mend. `node` is the program that must be let at the adapter. */
export function troubleOf(state: RadioState, node: string = nodePath()): Trouble | null {
  if (state === 'on' || state === 'starting') return null;
  return {
    'no-kernel': {
      problem: 'The kernel of this machine has no Bluetooth.',
      mend: `Load it with "sudo modprobe bluetooth btusb"; in a container, run peelside on the machine itself. ${OTHERWISE}`,
    },
    'no-adapter': {
      problem: 'There is no Bluetooth adapter.',
      mend: `Plug one in; it is found by itself. "rfkill list" shows whether one is blocked, "sudo rfkill unblock bluetooth" frees it. ${OTHERWISE}`,
    },
    'no-answer': {
      problem: 'The Bluetooth adapter does not answer.',
      mend: 'Unplug it and plug it in again, or run "sudo systemctl restart bluetooth".',
    },
    unauthorized: {
      problem: 'peelside may not use the Bluetooth adapter.',
      mend: `Run "sudo setcap cap_net_raw+eip ${node}" once, then start peelside again.`,
    },
    off: {
      problem: 'The Bluetooth adapter is switched off.',
      mend: 'Switch it on with "bluetoothctl power on" (or "sudo hciconfig hci0 up"; "sudo rfkill unblock bluetooth" where it is blocked).',
    },
    unsupported: {
      problem: 'The Bluetooth adapter is too old: it has no Low Energy.',
      mend: 'Plug in one with Bluetooth 4.0 or newer.',
    },
  }[state];
}

/** setcap works on the file itself, not on a link to it. */
function nodePath(): string {
  try {
    return realpathSync(process.execPath);
  } catch {
    return process.execPath;
  }
}
