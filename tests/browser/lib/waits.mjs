// Waiting for the thing itself: no test waits a fixed time for something that can be seen.

import assert from 'node:assert/strict';

/** How long one look is apart from the next, ms. */
const LOOK_MS = 50;

/** Reads until it is as wanted, and gives what was read. `what` says what was waited for. */
export async function eventually(read, wanted, what, seconds = 60) {
  let last;
  for (const end = Date.now() + seconds * 1000; ;) {
    last = await read();
    if (wanted(last)) return last;
    if (Date.now() > end) return assert.fail(`${what}: not within ${seconds} s; last seen ${JSON.stringify(last)}`);
    await new Promise((resolve) => { setTimeout(resolve, LOOK_MS); });
  }
}

/** The plan in hand as this tab has written it down: `{ plan, picture, sound }`, or null. */
const draft = (page) => page.evaluate(() => JSON.parse(localStorage.getItem(`platewright.draft.${sessionStorage.getItem('platewright.tab')}`) ?? 'null'));

/** Waits until the browser's store holds the plan in hand as wanted. */
export function written(page, wanted, what = 'the plan is written down') {
  return eventually(() => draft(page), (kept) => kept !== null && wanted(kept.plan, kept), what);
}

/** Waits until the browser's store holds the picture of the plan in hand. */
export async function pictureWritten(page, name) {
  const { picture } = await written(page, ({ picture: { source } }, kept) => source.file === name && kept.picture !== null, `“${name}” stands in the plan`);
  await eventually(() => page.evaluate(async (id) => {
    const opened = indexedDB.open('platewright');
    const store = await new Promise((resolve, reject) => { opened.onsuccess = () => resolve(opened.result); opened.onerror = reject; });
    const asked = store.transaction('pictures').objectStore('pictures').getKey(id);
    const key = await new Promise((resolve, reject) => { asked.onsuccess = () => resolve(asked.result); asked.onerror = reject; });
    store.close();
    return key;
  }, picture), (key) => key === picture, `“${name}” is in the store`);
}

/** Does something, and waits until the page has reached one of its own marks once more: `numbers`, `first-pass`, `every-grain`. */
export async function reaches(page, mark, act) {
  const times = () => page.evaluate((name) => performance.getEntriesByName(name).length, mark);
  const before = await times();
  await act();
  await eventually(times, (now) => now > before, `the page’s mark “${mark}”`, 120);
}
