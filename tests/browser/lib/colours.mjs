// What the page really shows, by the pixels on the screen.

/** Colours of a part of the window (css pixels): the commonest first, each with its number of pixels. */
export async function colours(page, clip) {
  const png = await page.screenshot({ clip });
  return page.evaluate(async (letters) => {
    const bytes = Uint8Array.from(atob(letters), (letter) => letter.charCodeAt(0));
    const bitmap = await createImageBitmap(new Blob([bytes]));
    const on = new OffscreenCanvas(bitmap.width, bitmap.height).getContext('2d');
    on.drawImage(bitmap, 0, 0);
    const { data } = on.getImageData(0, 0, bitmap.width, bitmap.height);
    const counts = new Map();
    for (let i = 0; i < data.length; i += 4) {
      const colour = data.slice(i, i + 3).join(' ');
      counts.set(colour, (counts.get(colour) ?? 0) + 1);
    }
    return [...counts].sort(([, a], [, b]) => b - a);
  }, png.toString('base64'));
}
