/** A temperature as it stands, °C and °C/min. */
type Level = { celsius: number; perMinute: number; isFresh: boolean };

/** What the adviser has to know at `t` seconds: stone and dome, null where nothing is known, and the stone's band, °C. */
export type Seen = { t: number; stone: Level | null; dome: Level | null; low: number; high: number };
