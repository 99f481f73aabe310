/** Reads a number written with a point or a comma, or as a fraction such as 7 1/2; NaN where it is none. */
export function readNumber(text: string): number {
  // A minus as typographers write it is one, too.
  const plain = text.trim().replace(',', '.').replace(/^\u2212/, '-');
  const fraction = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(plain);
  if (fraction) return Number(fraction[1] ?? 0) + Number(fraction[2]) / Number(fraction[3]);
  return plain === '' ? NaN : Number(plain);
}

/** What is said of words that are no number, or of a number out of bounds; empty where all is well. */
export function numberProblem(text: string, [least, most]: readonly [number, number], unit = ''): string {
  const number = readNumber(text);
  const range = `${least} to ${most}${unit && `\u00a0${unit}`}`;
  if (!Number.isFinite(number)) return `“${shortened(text)}” is not a number. Type one from ${range}.`;
  return number >= least && number <= most ? '' : `${shortened(text)} is out of range. Type a number from ${range}.`;
}

/** Words of a user's, short enough to be quoted. */
export function shortened(text: string): string {
  const words = text.trim();
  return words.length > 24 ? `${words.slice(0, 23)}…` : words;
}
