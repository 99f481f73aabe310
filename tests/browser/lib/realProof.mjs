// Photographs of real proofs, made here: the native program's own print of a plan whose bath bit otherwise, laid on a
// sheet, seen askew under a lamp (by the reference checks' Python).

import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { native } from './plans.mjs';
import { ROOT } from './page.mjs';

const PYTHON = process.env.PYTHON ?? path.join(ROOT, '.venv/bin/python');
const FOLDER = path.join(ROOT, 'test-results/pulled');

const PHOTOGRAPH = `
import sys, numpy
from PIL import Image
from skimage.transform import ProjectiveTransform, warp
proof, photo, paper, dpi = sys.argv[1], sys.argv[2], float(sys.argv[3]), float(sys.argv[4])
print_ = numpy.asarray(Image.open(proof).convert("L")) / 255.0
light = numpy.where(print_ <= 0.04045, print_ / 12.92, ((print_ + 0.055) / 1.055) ** 2.4)
round_ = int(24 * dpi / 25.4)                                   # mm of paper round the plate
sheet = numpy.pad(light, round_, constant_values=paper)
table = numpy.pad(sheet, int(12 * dpi / 25.4), constant_values=0.12)
high, wide = table.shape
out = (int(1.06 * high), int(1.08 * wide))
corners = numpy.array([[0, 0], [wide, 0], [wide, high], [0, high]], float)
seen = numpy.array([[0.05, 0.035], [0.965, 0.02], [0.94, 0.97], [0.03, 0.955]]) * [out[1], out[0]]
to_seen = ProjectiveTransform.from_estimate(corners, seen)
picture = warp(table, to_seen.inverse, output_shape=out, order=1, cval=0.12)
rows, columns = numpy.indices(out)
lamp = 1.0 - 0.22 * columns / out[1] - 0.1 * rows / out[0]      # it stands at the top left
picture = 0.78 / paper * picture * lamp
noise = numpy.random.default_rng(5).normal(0, 0.004, out)
picture = numpy.clip(picture + noise, 0, 1)
code = numpy.where(picture <= 0.0031308, 12.92 * picture, 1.055 * picture ** (1 / 2.4) - 0.055)
Image.fromarray(numpy.round(255 * code).astype("uint8")).convert("RGB").save(photo, quality=92)
`;

/** The example on a small plate as it was really bitten, in a bath of this rate. Gives the plan, its link, and the path of a photograph of its proof, as JPEG
 * unless another ending is asked for. */
export async function photographOfProof({ rate_um_per_min = 1, size: [width_mm, height_mm] = [45, 60], dpi = 254, name = 'proof', ending = 'jpg' } = {}) {
  mkdirSync(FOLDER, { recursive: true });
  const plan = JSON.parse(await native('plan'));
  Object.assign(plan.plate, { width_mm, height_mm });
  const really = { ...plan, calibration: { 'bite.rate_um_per_min': rate_um_per_min } };
  const [file, proof, photo] = ['json', 'print.png', ending].map((last) => path.join(FOLDER, `${name}.${last}`));
  writeFileSync(file, JSON.stringify(plan));
  const link = (await native('link', 'make', file)).trim();
  writeFileSync(file, JSON.stringify(really));
  await native('proof', file, '--dpi', String(dpi), '--px', '25', '--output', proof);
  execFileSync(PYTHON, ['-c', PHOTOGRAPH, proof, photo, String(plan.paper.reflectance), String(dpi)], { stdio: ['ignore', 'ignore', 'inherit'] });
  return { plan, link, photo };
}
