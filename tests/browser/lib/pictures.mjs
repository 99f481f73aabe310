// Pictures for the tests: a real photograph that a registry package ships, and odd files made from it
// by the reference checks' Python (Pillow).

import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { crc32, deflateSync } from 'node:zlib';
import { ROOT } from './page.mjs';

const PYTHON = process.env.PYTHON ?? path.join(ROOT, '.venv/bin/python');
const FOLDER = path.join(ROOT, 'test-results/pictures');

const MAKE = `
import sys, skimage.data, numpy
from PIL import Image
folder = sys.argv[1]
cat = Image.fromarray(skimage.data.astronaut())            # a photograph that scikit-image ships, 512 x 512
cat.save(folder + "/photograph.png")
cat.save(folder + "/photograph.webp")
wide = cat.crop((0, 0, 512, 300))
exif = Image.Exif(); exif[0x0112] = 6                      # turned a quarter to the right when shown
cat.crop((0, 100, 510, 440)).save(folder + "/wide.png")        # 3 : 2
wide.save(folder + "/turned.jpg", exif=exif.tobytes(), quality=90)
Image.new("RGBA", (300, 400), (0, 0, 0, 0)).save(folder + "/clear.png")
Image.linear_gradient("L").resize((8200, 6400)).save(folder + "/large.png")
# Larger than is read of a whole picture, with fine hatching in its lights: a close crop shows more of it.
fine = numpy.asarray(cat.resize((3600, 2700), Image.BICUBIC)).copy()
rows, columns = numpy.indices(fine.shape[:2])
fine[(rows + 2 * columns) % 7 < 2] //= 3
Image.fromarray(fine).save(folder + "/fine.png")
Image.new("L", (3, 20000)).save(folder + "/thin.png")
Image.new("L", (5, 9)).save(folder + "/dot.png")
cat.resize((200, 200)).save(folder + "/small.gif")
cat.resize((210, 200)).save(folder + "/small.bmp")
open(folder + "/words.png", "w").write("this is no picture")
open(folder + "/empty.png", "w").close()
`;

let made = false;

/** Path of one of the pictures above. */
export function picture(name) {
  if (!made) {
    mkdirSync(FOLDER, { recursive: true });
    execFileSync(PYTHON, ['-c', MAKE, FOLDER], { stdio: ['ignore', 'ignore', 'inherit'] });
    made = true;
  }
  return path.join(FOLDER, name);
}

/** A PNG (ISO/IEC 15948) of one bit a pixel, in stripes; `whole` or only as far as its header. */
export function striped(side, whole = true) {
  const chunk = (type, data) => {
    const body = Buffer.concat([Buffer.from(type), data]);
    const out = Buffer.alloc(body.length + 8);
    out.writeUInt32BE(data.length);
    body.copy(out, 4);
    out.writeUInt32BE(crc32(body), body.length + 4);
    return out;
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(side);
  head.writeUInt32BE(side, 4);
  head[8] = 1;
  const wide = 1 + Math.ceil(side / 8);
  const rows = Buffer.alloc(whole ? wide * side : wide, 0);
  for (let y = 0; y * wide < rows.length; y++) rows.fill(y % 200 < 100 ? 0xff : 0x0f, y * wide + 1, (y + 1) * wide);
  return Buffer.concat([Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), chunk('IHDR', head), chunk('IDAT', deflateSync(rows, { level: 1 })), chunk('IEND', Buffer.alloc(0))]);
}
