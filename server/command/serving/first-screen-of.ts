import type { Now } from '../../../shared/api/live.ts';
import { firstScreen } from '../../../web/first/first-screen.tsx';
import { unitOfLocale } from '../../../web/lib/format.ts';
import type { FirstScreen } from '../../http/page.ts';

/** "19:42:05" in this place's time. */
const timeOf = (at: string): string => new Date(at).toTimeString().slice(0, 8);

/**
 * The first screen of the cook that is on, as the page itself draws it once its script has run. A fault in it is said on
 * the terminal and costs no more than that the page comes without.
 */
export const firstScreenOf =
  (document: { now(): Now }): FirstScreen =>
  (languages) => {
    try {
      const now = document.now();
      return firstScreen(now, now.unit ?? unitOfLocale(languages.split(/[,;]/, 1)[0] ?? ''), timeOf(now.at));
    } catch (error) {
      console.error(error);
      return null;
    }
  };
