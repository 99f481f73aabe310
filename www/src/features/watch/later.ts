/** Watches the plan in hand under the linen tester; what it takes is fetched first. */
export async function watchHere(): Promise<void> {
  (await import('./watch.ts')).watchHere();
}
