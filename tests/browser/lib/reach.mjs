// What a finger or a pointer can come to: nothing wider than its window, every control in sight once it is scrolled to
// and under nothing else, and none smaller than a fingertip.

import assert from 'node:assert/strict';

/** Windows in which the page is tried, CSS pixels: phones upright and on their side, tablets, desks. */
export const WINDOWS = [[390, 844], [320, 640], [844, 390], [1024, 768], [768, 1024], [1920, 1080], [3840, 2160]]
  .map(([width, height]) => ({ width, height }));

/** Least side of what is pressed, CSS pixels (WCAG 2.2, 2.5.8). */
const TARGET_PX = 24;
/** Controls that a page without anything open has at least; fewer were looked at in vain. */
const LEAST_CONTROLS = 15;

/** Asserts that nothing sticks out to the side, that all controls can be reached, and that each has room for a finger. */
export async function assertInReach(page, what) {
  const { width, height } = page.viewportSize();
  const { count, wide, hidden, small } = await page.evaluate(look, TARGET_PX);
  const where = `${what}, ${width} × ${height}`;
  assert.ok(count >= LEAST_CONTROLS, `${where}: ${count} controls`);
  assert.ok(wide <= width, `${where}: the page is ${wide} px wide`);
  assert.deepEqual(hidden, [], `${where}: out of reach`);
  assert.deepEqual(small, [], `${where}: smaller than ${TARGET_PX} px`);
  return count;
}

/** Runs in the page. */
function look(least) {
  const [hidden, small] = [[], []];
  let count = 0;
  const tell = (one) => `${one.localName}.${one.getAttribute('class') ?? ''} “${(one.getAttribute('aria-label') ?? one.textContent).trim().slice(0, 40)}”`;
  for (const one of document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')) {
    if (one.disabled || one.closest('[inert], .unseen, .skip') || !one.checkVisibility({ visibilityProperty: true })) continue;
    count += 1;
    // A radio lies unseen within its word.
    const target = one.closest('.word') ?? one;
    target.scrollIntoView({ block: 'center', inline: 'center' });
    const { left, top, right, bottom, width, height } = target.getBoundingClientRect();
    const [x, y] = [(left + right) / 2, (top + bottom) / 2];
    const on = document.elementFromPoint(x, y);
    // Handles of values that print alike lie on each other; the list and the table have their minutes, too.
    const alike = target.matches('.plot-handle') && on?.closest('.plot-handle');
    if (!on || !(target.contains(on) || alike)) hidden.push(`${tell(target)} at ${x.toFixed(0)}, ${y.toFixed(0)}: ${on ? `under ${tell(on)}` : 'outside the window'}`);
    // A word within a sentence is as high as its line (2.5.8, “inline”).
    const inSentence = target.matches('.term') && target.closest('p, li') !== null;
    if (!inSentence && (width < least - 0.01 || height < least - 0.01)) small.push(`${tell(target)}: ${width.toFixed(1)} × ${height.toFixed(1)}`);
  }
  document.scrollingElement.scrollTo(0, 0);
  return { count, wide: document.documentElement.scrollWidth, hidden, small };
}
