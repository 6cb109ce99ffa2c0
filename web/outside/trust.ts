import type { Trust } from '../../shared/api/access.ts';
import { call } from '../api.ts';

/** Fills the page on how to trust this server's certificate. */
async function fill(): Promise<void> {
  const { addresses, fingerprint } = await call<Trust>('GET', '/api/access/trust').catch((): Trust => ({
    addresses: [],
    fingerprint: null,
  }));
  const there = fingerprint !== null && addresses.length > 0;
  document.getElementById('how')?.toggleAttribute('hidden', !there);
  document.getElementById('none')?.toggleAttribute('hidden', there);
  const put = (id: string, text: string): void => {
    const place = document.getElementById(id);
    if (place) place.textContent = text;
  };
  put('fingerprint', fingerprint ?? '');
  put('addresses', addresses.map((address) => `${address}/trust.html`).join(' or '));
  const picture = document.getElementById('qr');
  if (there && picture instanceof HTMLImageElement) picture.src = '/api/access/qr.svg';
}

void fill();
