// Bytes of an answer in room that goes to and fro between page and worker.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

// As browsers have it (ECMAScript 2024): what is handed on is empty afterwards.
ArrayBuffer.prototype.transfer ??= function transfer(bytes) {
  structuredClone(this, { transfer: [this] });
  return new ArrayBuffer(bytes);
};
const { free, laidInto } = await pageModule('engine/room.ts');

const bytes = (...all) => Uint8Array.from(all);

test('all bytes of an answer are laid into the room, one after the other, and theirs is given back', () => {
  const answer = { grey: bytes(1, 2, 3), width: 3, halves: [{ grey: bytes(4, 5), width: 2 }, { grey: bytes(6) }] };
  const before = [answer.grey, answer.halves[0].grey, answer.halves[1].grey];
  const room = new ArrayBuffer(8);
  assert.ok(laidInto(room, answer));
  assert.deepEqual([...new Uint8Array(room)], [1, 2, 3, 4, 5, 6, 0, 0]);
  assert.deepEqual(answer, { grey: bytes(1, 2, 3), width: 3, halves: [{ grey: bytes(4, 5), width: 2 }, { grey: bytes(6) }] });
  assert.ok([answer.grey, ...answer.halves.map(({ grey }) => grey)].every(({ buffer }) => buffer === room));
  assert.ok(before.every(({ length }) => length === 0), 'their own room is empty');
});

test('an answer that needs more room is left as it is', () => {
  const answer = { grey: bytes(1, 2, 3), halves: [{ grey: bytes(4, 5) }] };
  assert.equal(laidInto(new ArrayBuffer(4), answer), false);
  assert.deepEqual(answer, { grey: bytes(1, 2, 3), halves: [{ grey: bytes(4, 5) }] });
  assert.ok(laidInto(new ArrayBuffer(0), { problems: [], same_ground: true }), 'one without bytes needs none');
});

test('bytes that have been read are given back', () => {
  const read = bytes(1, 2);
  free(read);
  assert.equal(read.length, 0);
});
