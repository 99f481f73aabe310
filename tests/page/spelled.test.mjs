// Packed parts of the single file: their letters never end the element that they stand in, and unpack to what was packed.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { inflateRawSync } from 'node:zlib';
import { spelled } from '../../www/build/html.mjs';

const LETTERS = '0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.-:+=^!/*?&<>()[]{}@%$#';

/** Bytes of letters, as ZeroMQ RFC 32 has them. */
function read(text) {
  const bytes = Buffer.alloc((text.length / 5) * 4);
  for (let at = 0; at < text.length; at += 5) bytes.writeUInt32BE([...text.slice(at, at + 5)].reduce((word, letter) => 85 * word + LETTERS.indexOf(letter), 0), (at / 5) * 4);
  return bytes;
}

test('letters that would end their element are shifted, and the bytes stay', () => {
  // A stored block whose content spells `a<!--` once its five bytes of head and three more lie before it.
  const content = Buffer.concat([Buffer.from('xyz'), read('a<!--'), Buffer.from('and the rest')]);
  const head = Buffer.from([1, content.length, 0, 0xff - content.length, 0xff]);
  const small = Buffer.concat([head, content]);
  const { bytes, text } = spelled(small);
  assert.ok(bytes > small.length, 'a block of nothing stands before it');
  assert.doesNotMatch(text, /<!--|<\/script/i);
  assert.deepEqual(inflateRawSync(read(text).subarray(0, bytes)), content);
  const plain = Buffer.concat([Buffer.from([1, 3, 0, 0xfc, 0xff]), Buffer.from('xyz')]);
  assert.equal(spelled(plain).bytes, plain.length, 'nothing is put before what spells nothing');
});
