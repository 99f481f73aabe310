// One plan whose whole proof is compared between the native program and browsers.

import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { fingerprint, greyPixels } from './png.mjs';
import { native } from './plans.mjs';

/** Margin of its sheet in dots of the saved proof: 12 mm at 50 µm. */
export const MARGIN_PX = 240;

/** The link of a small plate with everything a little off its default and with these faults, and its native proof's fingerprint. */
export async function linkAndProof(faults = []) {
  const folder = await mkdtemp(path.join(os.tmpdir(), 'platewright-'));
  try {
    const plan = JSON.parse(await native('plan'));
    plan.title = 'The same everywhere';
    plan.seed = 77;
    Object.assign(plan.plate, { width_mm: 24, height_mm: 32, corner_radius_mm: 2.3 });
    plan.paper.margin_mm = 12;
    plan.dust.wait_s = 40;
    plan.bath.temperature_c = 22.5;
    plan.bites = plan.bites.map(({ bite_min }) => ({ bite_min: bite_min + 0.25 }));
    plan.ink.wipe = 'tarlatan';
    if (faults.length > 0) plan.faults = faults;
    const file = path.join(folder, 'plan.json');
    const proof = path.join(folder, 'proof.png');
    await writeFile(file, JSON.stringify(plan));
    await native('proof', file, '-o', proof, '--dpi', '508', '--px', '5');
    return { link: (await native('link', 'make', file)).trim(), proof: fingerprint(greyPixels(await readFile(proof))) };
  } finally {
    await rm(folder, { recursive: true });
  }
}
