/** The caution that a person opened, and which was the most dangerous then. */
export type Choice = { id: string; insteadOf: string | undefined };

/**
 * The caution that is shown whole: the most dangerous, or the one that was opened instead, for as long as none more
 * dangerous comes. Pure.
 * @param list the most dangerous first
 * @param isAnnounced the first stands in the headline already
 */
export function openCaution<Caution extends { id: string }>(
  list: readonly Caution[],
  choice: Choice | null,
  isAnnounced: boolean,
): Caution | undefined {
  const worst = list[0];
  const chosen = choice?.insteadOf === worst?.id ? list.find(({ id }) => id === choice?.id) : undefined;
  return chosen ?? (isAnnounced ? undefined : worst);
}
