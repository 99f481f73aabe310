/** A difference with its sign, as typographers write it. */
export function signed(by: number, decimals = 1): string {
  const words = Math.abs(by).toFixed(decimals);
  return Number(words) === 0 ? words : `${by > 0 ? '+' : '−'}${words}`;
}
