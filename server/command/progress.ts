const WIDTH = 30;

/** A bar on stderr where a person watches it; nothing where the output goes to a file. */
export function progressBar(what: string): { show(fraction: number): void; done(): void } {
  if (!process.stderr.isTTY) return { show: () => {}, done: () => {} };
  let shown = -1;
  return {
    show(fraction) {
      const percent = Math.floor(100 * Math.min(1, Math.max(0, fraction)));
      if (percent === shown) return;
      shown = percent;
      const full = Math.round((WIDTH * percent) / 100);
      process.stderr.write(`\r${what} [${'#'.repeat(full)}${' '.repeat(WIDTH - full)}] ${percent} %`);
    },
    done: () => void process.stderr.write('\r\u001b[K'),
  };
}
