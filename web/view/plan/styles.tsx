import type { JSX } from 'preact';

/** Fetched with the pages of the evening: the first screen has enough to fetch. */
export const EveningStyles = (): JSX.Element => <link rel="stylesheet" href="evening.css" />;
