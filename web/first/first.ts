import { BRIGHT, chosenTheme, paintedBy } from './chosen-theme.ts';

/**
 * Runs before the body is read, so that what the server wrote there is painted in this device's colours, and on another
 * page than Live not at all: the server never sees what stands behind the `#`.
 */
const root = document.documentElement;
root.dataset['theme'] = paintedBy(chosenTheme(), matchMedia(BRIGHT).matches);
if (!/^(#\/?(live)?)?$/.test(location.hash)) root.dataset['first'] = 'no';
