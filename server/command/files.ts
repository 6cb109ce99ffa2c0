import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The project's folder, seen from the built bundle in .build/server. */
export const root = fileURLToPath(new URL('../../', import.meta.url));
/** The radio's process. */
export const bleChild = join(root, '.build', 'server', 'ble-child.js');
/** The built page. */
export const page = join(root, '.build', 'web');
/** The bundled recordings. */
export const recordings = join(root, 'fixtures');
/** What the command `peelside` starts. */
export const launcher = join(root, 'server', 'peelside.mjs');
