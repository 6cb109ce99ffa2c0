import type { JSX } from 'preact';

/** Fetched with the pages that need it: the first screen has enough to fetch. */
export const Styles = (): JSX.Element => <link rel="stylesheet" href="probes.css" />;
