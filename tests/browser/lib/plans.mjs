// Steps that the tests of links, shelf and comparison share.

import { execFile } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { promisify } from 'node:util';
import { fromMenu, ROOT } from './page.mjs';
import { pictureWritten, written } from './waits.mjs';

const run = promisify(execFile);

/** The native program's answer, or its complaint. */
export async function native(...words) {
  const target = process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target');
  const { stdout } = await run(path.join(target, 'debug/platewright'), words);
  return stdout;
}

/** A link from the folder of golden links, and the plan it must open as: whatever its model, the page goes on with its own. */
export async function oldLink(name) {
  const at = path.join(ROOT, 'crates/plan/tests/links/v1', name);
  const plan = JSON.parse(await readFile(`${at}.json`, 'utf8'));
  const today = JSON.parse(await native('plan'));
  // What no plan said then stands as in a new one.
  const whole = Object.entries(plan).map(([part, of]) => [part, today[part]?.constructor === Object ? { ...today[part], ...of } : of]);
  return { link: (await readFile(`${at}.txt`, 'utf8')).trim(), plan: { ...Object.fromEntries(whole), model: today.model } };
}

/** The plan in hand, as “save plan” gives it. */
export async function planInHand(page) {
  const [download] = await Promise.all([page.waitForEvent('download'), fromMenu(page, 'save plan')]);
  return JSON.parse(await readFile(await download.path(), 'utf8'));
}

/** A plan with more than ten warnings on a small plate, made from the example. */
export function muchToSay(plan) {
  return {
    ...plan,
    title: 'A plate about which there is very much to be said, from the first dust to the last wipe of the last proof',
    notes: `Notes with a${'Very'.repeat(20)}LongWordThatNothingBreaks`,
    plate: { ...plan.plate, width_mm: 24, height_mm: 32 },
    picture: { ...plan.picture, thresholds_l: Array.from({ length: 12 }, (_, i) => 95 - 7 * i) },
    dust: { ...plan.dust, powder_g_per_m2: 40, median_um: 200, wait_s: 0 },
    bake: { ...plan.bake, hot_plate_c: 165 },
    bath: { ...plan.bath, volume_l: 0.2, copper_g_per_l: 60 },
    bites: [30, 0.5, 0.5, 30, 30, 30, 30, 30, 30, 30, 30, 30].map((bite_min) => ({ bite_min })),
  };
}

/** Drops a file on the page. */
export async function drop(page, name, text, type = 'application/json') {
  await page.evaluate(([called, content, kind]) => {
    const data = new DataTransfer();
    data.items.add(new File([content], called, { type: kind }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, [name, text, type]);
}

/** Writes a number into the entry that begins with these words. */
export async function setNumber(page, label, value) {
  const entry = page.locator('.entry', { hasText: label }).locator('.entry-value').first();
  await entry.fill(String(value));
  await entry.press('Enter');
}

/** Opens a panel by its word in a menu of the head and waits for its heading. */
export async function openPanel(page, word, heading) {
  await fromMenu(page, word);
  await page.getByRole('heading', { name: heading }).waitFor();
}

/**
 * A picture with soft tones and many small shapes, drawn by the browser and dropped on the page; once it is in the
 * store and, where they are to be `spaced`, the plan's values with it. `kind`: what it is saved as, JPEG at its coarsest;
 * `turned`: upside down, which is another picture.
 */
export async function dropPicture(page, name = 'hills.png', { kind = 'image/png', turned = false, spaced = true } = {}) {
  const before = (await planInHand(page)).picture.thresholds_l;
  await page.evaluate(async ([fileName, type, upsideDown]) => {
    const canvas = document.createElement('canvas');
    canvas.width = 150;
    canvas.height = 200;
    const on = canvas.getContext('2d');
    if (upsideDown) on.setTransform(1, 0, 0, -1, 0, 200);
    const sky = on.createLinearGradient(0, 0, 0, 200);
    sky.addColorStop(0, '#fff');
    sky.addColorStop(1, '#222');
    on.fillStyle = sky;
    on.fillRect(0, 0, 150, 200);
    for (let i = 0; i < 400; i++) {
      on.fillStyle = `rgb(${(i * 97) % 256} ${(i * 97) % 256} ${(i * 97) % 256})`;
      on.beginPath();
      on.arc((i * 61) % 150, (i * 89) % 200, 2 + (i % 7), 0, 7);
      on.fill();
    }
    const blob = await new Promise((resolve) => { canvas.toBlob(resolve, type, 0.1); });
    const data = new DataTransfer();
    data.items.add(new File([blob], fileName, { type }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, [name, kind, turned]);
  await page.locator('.picture-name', { hasText: name }).waitFor();
  if (spaced) await written(page, ({ picture }) => JSON.stringify(picture.thresholds_l) !== JSON.stringify(before), 'the values are spaced for the picture');
  await pictureWritten(page, name);
}
