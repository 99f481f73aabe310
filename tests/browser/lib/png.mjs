// Grey 8-bit PNGs, read and written without the help of the programs that are to be compared.

import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { deflateSync, inflateSync } from 'node:zlib';

/** `{ width, height, grey }` of a grey, 8-bit, not interlaced PNG (ISO/IEC 15948 §9 and §12). */
export function greyPixels(file) {
  const data = [];
  let width = 0;
  let height = 0;
  for (let at = 8; at < file.length;) {
    const length = file.readUInt32BE(at);
    const kind = file.toString('latin1', at + 4, at + 8);
    const body = file.subarray(at + 8, at + 8 + length);
    if (kind === 'IHDR') {
      width = body.readUInt32BE(0);
      height = body.readUInt32BE(4);
      assert.deepEqual([...body.subarray(8)], [8, 0, 0, 0, 0], 'grey, eight bits, not interlaced');
    }
    if (kind === 'IDAT') data.push(body);
    at += length + 12;
  }
  const raw = inflateSync(Buffer.concat(data));
  const grey = Buffer.alloc(width * height);
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (width + 1)];
    for (let x = 0; x < width; x++) {
      const a = x > 0 ? grey[y * width + x - 1] : 0;
      const b = y > 0 ? grey[(y - 1) * width + x] : 0;
      const c = x > 0 && y > 0 ? grey[(y - 1) * width + x - 1] : 0;
      const guess = [0, a, b, (a + b) >> 1, nearest(a, b, c)][filter];
      grey[y * width + x] = raw[y * (width + 1) + 1 + x] + guess;
    }
  }
  return { width, height, grey };
}

function nearest(a, b, c) {
  const p = a + b - c;
  const [pa, pb, pc] = [a, b, c].map((one) => Math.abs(p - one));
  return pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
}

/** The picture inside a margin. */
export function within({ width, height, grey }, margin) {
  const inner = { width: width - 2 * margin, height: height - 2 * margin };
  const rows = Array.from({ length: inner.height }, (_, y) => {
    const from = (y + margin) * width + margin;
    return grey.subarray(from, from + inner.width);
  });
  return { ...inner, grey: Buffer.concat(rows) };
}

/** Size and SHA-256 of a picture's pixels, to compare by. */
export function fingerprint({ width, height, grey }) {
  return `${width}×${height} ${createHash('sha256').update(grey).digest('hex')}`;
}

const crcTable = Uint32Array.from({ length: 256 }, (_, n) => { let c = n; for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1; return c; });

/** A grey, 8-bit PNG of a buffer of codes, row by row (ISO/IEC 15948). */
export function greyPng(width, height, grey) {
  const chunk = (name, body) => {
    const all = Buffer.concat([Buffer.from(name, 'latin1'), body]);
    let crc = 0xffffffff;
    for (const byte of all) crc = crcTable[(crc ^ byte) & 255] ^ (crc >>> 8);
    const out = Buffer.alloc(all.length + 8);
    out.writeUInt32BE(body.length, 0);
    all.copy(out, 4);
    out.writeUInt32BE((crc ^ 0xffffffff) >>> 0, all.length + 4);
    return out;
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 0, 0, 0, 0], 8);
  const rows = Buffer.alloc(height * (width + 1));
  for (let y = 0; y < height; y++) grey.copy(rows, y * (width + 1) + 1, y * width, (y + 1) * width);
  return Buffer.concat([Buffer.from('89504e470d0a1a0a', 'hex'), chunk('IHDR', head), chunk('IDAT', deflateSync(rows)), chunk('IEND', Buffer.alloc(0))]);
}
