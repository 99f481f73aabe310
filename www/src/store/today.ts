/** Today's date, or that of a moment, as it is written down beside what is kept: year, month, day, where one is. */
export function today(at = Date.now()): string {
  const day = new Date(at);
  return [day.getFullYear(), day.getMonth() + 1, day.getDate()].map((part) => String(part).padStart(2, '0')).join('-');
}
