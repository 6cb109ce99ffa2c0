/** Constants of the live line that the page needs without the schemas (and the schema library) of `live.ts`. */

/** Raised when an old page would misread what the server sends; the page then says "reload". */
export const PROTOCOL = 3;
/** The server speaks at least this often, s; a page that hears nothing for twice as long says so. */
export const HEARTBEAT_SECONDS = 2;
