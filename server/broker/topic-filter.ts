/**
 * Whether a topic is one that a filter names (MQTT 5.0, 4.7.1 and 4.7.2): `+` one level, `#` all below and the level
 * itself, and neither at the beginning stands for the broker's own topics (`$SYS`).
 */
export function takesTopic(filter: string, topic: string): boolean {
  if (topic.startsWith('$') && !filter.startsWith('$')) return false;
  const levels = topic.split('/');
  const wanted = filter.split('/');
  for (const [i, level] of wanted.entries()) {
    if (level === '#') return true;
    if (i >= levels.length || (level !== '+' && level !== levels[i])) return false;
  }
  return wanted.length === levels.length;
}
