/** The page that stands in while the server is out of reach: asks for it again and again, and gives way when it answers. */
const EVERY_MS = 3000;
const PATIENCE_MS = 2500;

async function look(): Promise<void> {
  try {
    const answer = await fetch('/api/access', {
      cache: 'no-store',
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    if (answer.ok) location.reload();
  } catch {
    // Still out of reach: asked again soon.
  }
}

document.getElementById('again')?.addEventListener('click', () => void look());
setInterval(() => void look(), EVERY_MS);
