/** Today's date as it is written down beside what is kept: year, month, day. */
export function today(): string {
  return new Date().toISOString().slice(0, 10);
}
