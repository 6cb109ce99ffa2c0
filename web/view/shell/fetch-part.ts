/** A server that is gone is asked again after so long, ms. */
const AGAIN_MS = 3000;

/**
 * A part of the page's code, asked for until it has come: the server may be gone when it is first needed.
 * @param failed called after each try that failed
 */
export async function fetchPart<Part>(load: () => Promise<Part>, failed: () => void): Promise<Part> {
  for (;;) {
    try {
      return await load();
    } catch {
      failed();
      await new Promise((resolve) => setTimeout(resolve, AGAIN_MS));
    }
  }
}
