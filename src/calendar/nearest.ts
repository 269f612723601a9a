/**
 * The names that a mistyped one may have been meant for: those nearest to it, if they are near at all.
 * A name with a path (`Europe/London`) is also compared by its last part alone.
 *
 * @param text what was written
 * @param names the names that there are
 * @param most how many to give at most
 * @returns names equally near, in the order given, no more than a third of the letters of `text` away
 */
export function nearest(text: string, names: readonly string[], most = 3): string[] {
  const wanted = text.toLowerCase();
  const distances = names.map((name) => {
    const whole = name.toLowerCase();
    const last = whole.slice(whole.lastIndexOf('/') + 1);
    return Math.min(edits(wanted, whole), edits(wanted, last));
  });
  const least = Math.min(...distances);
  if (least > Math.max(1, wanted.length / 3)) return [];
  return names.filter((_, i) => distances[i] === least).slice(0, most);
}

/** How many letters must be put in, left out or changed to make one word of the other (Levenshtein). */
function edits(one: string, other: string): number {
  let row = Array.from({ length: other.length + 1 }, (_, j) => j);
  for (let i = 1; i <= one.length; i++) {
    const next = [i];
    for (let j = 1; j <= other.length; j++) {
      const changed = row[j - 1]! + (one[i - 1] === other[j - 1] ? 0 : 1);
      next.push(Math.min(changed, row[j]! + 1, next[j - 1]! + 1));
    }
    row = next;
  }
  return row[other.length]!;
}
