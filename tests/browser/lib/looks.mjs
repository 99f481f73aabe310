// What a page shows, as something that can be compared between engines: words as they stand, pixels by their hash.
// Every function here runs in the page, and stands by itself.

/** Size and hash (FNV-1a, twice) of the pixels of every canvas that a selector finds. */
export function pixelsOf(selector) {
  return [...document.querySelectorAll(selector)].map((canvas) => {
    const { width, height } = canvas;
    const { data } = canvas.getContext('2d').getImageData(0, 0, width, height);
    let [there, back] = [0x811c9dc5, 0x811c9dc5];
    for (let i = 0; i < data.length; i++) {
      there = Math.imul(there ^ data[i], 0x01000193);
      back = Math.imul(back ^ data[data.length - 1 - i], 0x01000193);
    }
    return `${width}×${height} ${(there >>> 0).toString(16)} ${(back >>> 0).toString(16)}`;
  });
}

/** Words of all that a selector finds, one each; those with an entry by what stands in it. */
export function wordsOf(selector) {
  return [...document.querySelectorAll(selector)].map((one) => (one.querySelector('input')?.value ?? one.textContent).replace(/\s+/g, ' ').trim());
}

/** The value table row by row, its minutes as they stand in their entries. */
export function tableOf() {
  return [...document.querySelectorAll('.scale-table tbody tr')]
    .map((row) => [...row.children].map((cell) => (cell.querySelector('input')?.value ?? cell.textContent).replace(/\s+/g, ' ').trim()).join(' | '));
}

/** All that a plan comes to on the open page, once nothing of it is of an older plan. */
export function outcome() {
  if (document.querySelector('.scale').dataset.stale === 'true') return null;
  return [...document.querySelectorAll('.step-result')].map((one) => one.textContent);
}

/** Where the frame of the linen tester and the picture in it lie, CSS pixels; and whether something is drawn there. */
export function testerPlace() {
  const glass = document.querySelector('.tester-glass');
  const canvas = glass.querySelector('canvas');
  const [frame, picture] = [glass, canvas].map((one) => one.getBoundingClientRect()).map(({ left, top, right, bottom }) => ({ left, top, right, bottom }));
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
  return { frame, picture, drawn: data.some((byte, i) => i % 4 === 0 && byte !== data[0]), room: glass.parentElement.getBoundingClientRect().bottom };
}

/**
 * Empties the browser's stores, and has them say that somebody has been here before: no show of the first picture, every
 * step unfolded where `steps` is so, and of the whole proof only those grains that are looked at, unless `grain` is `every`.
 */
export async function beenHere({ steps, grain }) {
  localStorage.clear();
  sessionStorage.clear();
  for (const { name } of await indexedDB.databases()) {
    await new Promise((resolve) => { Object.assign(indexedDB.deleteDatabase(name), { onsuccess: resolve, onerror: resolve, onblocked: resolve }); });
  }
  localStorage.setItem('platewright.first-proof', 'seen');
  localStorage.setItem('platewright.harbour-kept', 'kept');
  localStorage.setItem('platewright.settings', JSON.stringify({ ...(steps === 'all' ? { steps } : {}), ...(grain === 'every' ? {} : { grain: 'looked-at' }) }));
}

/** Catches what the page gives to be saved, on its way to the browser's downloads. */
export function catchSaved() {
  const make = URL.createObjectURL;
  URL.createObjectURL = (blob) => {
    window.saved = blob;
    return make.call(URL, blob);
  };
}

/** What was caught, in base 64; null until something was. */
export function saved() {
  if (!window.saved) return null;
  return new Promise((resolve) => {
    const reader = new FileReader();
    reader.onload = () => resolve(reader.result.slice(reader.result.indexOf(',') + 1));
    reader.readAsDataURL(window.saved);
  });
}
