import { accessSync, constants, realpathSync, statSync } from 'node:fs';

/** A copy of node for the radio's process alone: a right that a file has is every script's that it runs. */
const OWN_NODE = '/usr/local/lib/peelside/node';

/** @returns the copy where it is there, may be run and is of this very node; else null */
export function ownNode(copy = OWN_NODE, node = process.execPath): string | null {
  try {
    accessSync(copy, constants.X_OK);
    return statSync(copy).size === statSync(node).size ? copy : null;
  } catch {
    return null;
  }
}

/** Makes the copy, for this user's group to run, and gives it raw sockets; again after node was updated. */
export const ownNodeCommand = (node = process.execPath): string =>
  `sudo install -D -m 750 -g $(id -gn) ${real(node)} ${OWN_NODE} && sudo setcap cap_net_raw+eip ${OWN_NODE}`;

/** A link's target, since what is copied must be a file. */
function real(node: string): string {
  try {
    return realpathSync(node);
  } catch {
    return node;
  }
}
