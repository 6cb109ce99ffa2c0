/** What this browser alone remembers. A browser that forbids it just forgets. */

export function recall(key: string): string | null {
  try {
    return localStorage.getItem(`peelside.${key}`);
  } catch {
    return null;
  }
}

export function remember(key: string, value: string): void {
  try {
    localStorage.setItem(`peelside.${key}`, value);
  } catch {
    // Private windows and full storage: the choice holds until the page closes.
  }
}
