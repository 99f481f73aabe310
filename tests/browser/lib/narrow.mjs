// On a phone nothing may be wider than the window: neither the page nor what lies over it.

import assert from 'node:assert/strict';

/** Widths (CSS pixels) of the narrowest phones in use, and of the usual one. */
export const NARROW = [320, 360, 390];

/** Asserts that what is shown, `what`, is no wider than the window: at every width, in both unit systems. */
export async function assertNarrow(page, what) {
  const before = page.viewportSize();
  for (const units of ['US', 'metric']) {
    await page.evaluate(showUnits, units);
    for (const width of NARROW) {
      await page.setViewportSize({ width, height: 844 });
      assert.deepEqual(await page.evaluate(wider), [], `${what} at ${width} px, ${units} units`);
    }
  }
  await page.setViewportSize(before);
}

/** Chooses the units in the head, whatever lies over it. Runs in the page. */
async function showUnits(units) {
  const word = [...document.querySelectorAll('input[name=units]')].find((one) => one.parentElement.textContent.trim() === units);
  if (word && !word.checked) word.click();
  await new Promise((drawn) => { requestAnimationFrame(() => requestAnimationFrame(drawn)); });
}

/**
 * What is wider than the window. Runs in the page. What stands in a part that scrolls by itself, such as a
 * wide table, may be: the part itself may not, and neither pages nor panels scroll to the side.
 */
function wider() {
  const found = [];
  const page = document.documentElement;
  if (page.scrollWidth > innerWidth) found.push(`the page is ${page.scrollWidth} px wide`);
  const over = [...document.querySelectorAll('dialog[open], .view, .wall')];
  for (const sheet of over) {
    if (sheet.scrollWidth > sheet.clientWidth) found.push(`${sheet.className} scrolls to the side: ${sheet.scrollWidth} px`);
  }
  const top = over.at(-1) ?? document.body;
  const seen = [...top.querySelectorAll('*')].filter((one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: true }));
  for (const one of [top, ...seen, ...document.querySelectorAll('.notice, [popover]:popover-open')]) {
    const { left, right, width, height } = one.getBoundingClientRect();
    if (width * height === 0 || one.closest('.unseen, .skip') || (right <= innerWidth + 0.5 && left >= -0.5) || clipped(one, top)) continue;
    found.push(`${one.localName}.${one.getAttribute('class')} from ${left.toFixed(0)} to ${right.toFixed(0)} px: ${one.textContent.slice(0, 40)}`);
  }
  return found.slice(0, 10);

  /** Stands in something that scrolls or cuts to the side. */
  function clipped(one, within) {
    for (let at = one.parentElement; at && at !== within; at = at.parentElement) {
      if (getComputedStyle(at).overflowX !== 'visible') return true;
    }
    return false;
  }
}
