type ServiceOptions = {
  /** Absolute paths of Node, of the `peelside` command's file and of the data folder. */
  node: string;
  launcher: string;
  data: string;
  port?: number;
  lan: boolean;
};

/**
 * A systemd unit of a user's own (systemd.service(5), systemd.exec(5)). Nearly all of systemd's sandboxing sets
 * NoNewPrivileges or a user namespace where the manager is a user's: under either the kernel ignores the capability
 * that a Node was given for the radio. So only what works without is asked for.
 */
export function serviceUnit({ node, launcher, data, port, lan }: ServiceOptions): string {
  const words = [node, launcher, 'serve', '--no-open', '--data', data];
  if (port !== undefined) words.push('--port', String(port));
  if (lan) words.push('--lan');
  return `[Unit]
Description=peelside: watches the stone and dome of a ceramic grill

[Service]
ExecStart=${words.map(quoted).join(' ')}
Restart=always
RestartSec=1
UMask=0077
LimitCORE=0
TasksMax=128
MemoryMax=1G

[Install]
WantedBy=default.target
`;
}

/** A word of a command line as systemd reads it: in quotes, with % and $ doubled (systemd.service(5), "Command lines"). */
function quoted(word: string): string {
  const safe = word
    .replaceAll('\\', '\\\\')
    .replaceAll('"', '\\"')
    .replaceAll('%', '%%')
    .replaceAll('$', '$$$$');
  return /^[\w./=:@%$+-]+$/.test(safe) ? safe : `"${safe}"`;
}
