/** A reading is a short line; what is longer is noise or another program's output. Bytes. */
const MAX_IN_LINE = 1024;

export type Lines = {
  /** @returns the lines that these bytes completed, without their ends, empty ones left out */
  push(bytes: Uint8Array): string[];
  /** Lines thrown away because they were too long. */
  readonly dropped: number;
};

/** Bytes → lines, ended by CR, LF or both. Never holds more than one line. */
export function createLines(most = MAX_IN_LINE): Lines {
  let held: number[] = [];
  let tooLong = false;
  let dropped = 0;

  const end = (): string | null => {
    const line = tooLong || held.length === 0 ? null : Buffer.from(held).toString('utf8');
    held = [];
    tooLong = false;
    return line;
  };
  const take = (byte: number): void => {
    if (tooLong) return;
    if (held.length < most) return void held.push(byte);
    tooLong = true;
    dropped += 1;
    held = [];
  };
  return {
    push(bytes) {
      const lines: string[] = [];
      for (const byte of bytes) {
        if (byte !== 0x0a && byte !== 0x0d) take(byte);
        else {
          const line = end();
          if (line !== null) lines.push(line);
        }
      }
      return lines;
    },
    get dropped() {
      return dropped;
    },
  };
}
