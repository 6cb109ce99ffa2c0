import { chmodSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { localIdentity } from '../../server/access/authority.ts';
import { checkCertificate } from '../../server/command/serving/certificate-check.ts';

const NOW = Date.parse('2026-06-01T12:00:00Z');
const DAY = 86_400_000;

it('finds a certificate that no device can trust, and says the remedy', () => {
  const folder = mkdtempSync(join(tmpdir(), 'peelside-doctor-'));
  expect(checkCertificate(folder, NOW)).toMatchObject({ ok: true });
  const { authority } = localIdentity(join(folder, 'authority'), NOW);
  expect(authority).not.toBeNull();
  expect(checkCertificate(folder, NOW)).toMatchObject({ ok: true });
  expect(checkCertificate(folder, NOW + 400 * DAY)).toMatchObject({
    ok: false,
    message: expect.stringContaining('not valid now'),
  });
  expect(checkCertificate(folder, 0)).toMatchObject({ ok: false, remedy: expect.stringContaining('clock') });
  chmodSync(join(folder, 'authority', 'authority.key'), 0o644);
  expect(checkCertificate(folder, NOW)).toMatchObject({
    ok: false,
    remedy: expect.stringContaining('chmod 600'),
  });
});
