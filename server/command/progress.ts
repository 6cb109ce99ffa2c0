const BAR_COLUMNS = 30;

type Terminal = { isTTY?: boolean; write(text: string): unknown };

/** A bar on stderr where a person watches it; nothing where the output goes to a file. */
export function progressBar(
  what: string,
  terminal: Terminal = process.stderr,
): { show(fraction: number): void; done(): void } {
  if (!terminal.isTTY) return { show: () => {}, done: () => {} };
  let shown = -1;
  return {
    show(fraction) {
      const percent = Math.floor(100 * Math.min(1, Math.max(0, fraction)));
      if (percent === shown) return;
      shown = percent;
      const full = Math.round((BAR_COLUMNS * percent) / 100);
      terminal.write(`\r${what} [${'#'.repeat(full)}${' '.repeat(BAR_COLUMNS - full)}] ${percent} %`);
    },
    done: () => void terminal.write('\r\u001b[K'),
  };
}
