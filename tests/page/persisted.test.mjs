// What the page keeps in the browser's store, with a store that works, is full, is forbidden, or holds anything at all.

import assert from 'node:assert/strict';
import { afterEach, test } from 'node:test';
import { pageModule } from '../browser/lib/pageModule.mjs';

/** A store as the browser has it: its keys are its own, its methods its prototype's. */
class Store {
  getItem(key) { return Object.hasOwn(this, key) ? this[key] : null; }
  setItem(key, text) { this[key] = String(text); }
  removeItem(key) { delete this[key]; }
}

function withStore(entries = {}) {
  const store = Object.assign(new Store(), entries);
  Object.defineProperty(globalThis, 'localStorage', { value: store, configurable: true });
  return store;
}

const forbid = () => Object.defineProperty(globalThis, 'localStorage', { get() { throw new DOMException('forbidden', 'SecurityError'); }, configurable: true });

/** Who hears of what another tab writes. */
const hearers = [];
globalThis.addEventListener = (type, hear) => { if (type === 'storage') hearers.push(hear); };
const tell = (key) => { for (const hear of hearers) hear({ key }); };

afterEach(() => { delete globalThis.localStorage; });

const { keysKept, persisted, readKept, writeKept } = await pageModule('store/persisted.ts');
const count = (kept) => {
  if (!Number.isInteger(kept.count)) throw new Error('no count');
  return { count: kept.count };
};

test('a value is written at every change, not before, and read again', () => {
  const store = withStore();
  const one = persisted('a', { count: 0 }, count);
  assert.deepEqual({ ...store }, {}, 'nothing is written before a change');
  one.value = { count: 3 };
  assert.equal(store.a, '{"count":3}');
  assert.deepEqual(persisted('a', { count: 0 }, count).value, { count: 3 });
});

test('what is not sound gives the usual value, and stays in the store until a change', () => {
  for (const odd of ['{', 'null', '7', '"x"', '[]', '{"count":"x"}', '']) {
    const store = withStore({ a: odd });
    assert.deepEqual(persisted('a', { count: 0 }, count).value, { count: 0 }, odd);
    assert.equal(store.a, odd);
  }
});

test('text stands as it is, and a value without a form is removed', () => {
  const store = withStore({ sound: 'off' });
  const sound = persisted('sound', true, (kept) => kept !== 'off', { form: (on) => (on ? 'on' : 'off') });
  assert.equal(sound.value, false);
  sound.value = true;
  assert.equal(store.sound, 'on');
  const list = persisted('list', [], (kept) => kept, { form: (all) => (all.length ? all : undefined) });
  list.value = [1];
  assert.equal(store.list, '[1]');
  list.value = [];
  assert.ok(!('list' in store));
});

test('a full or forbidden store does no harm, and is told', () => {
  const told = [];
  const onWrite = (kept) => told.push(kept);
  const store = withStore();
  const one = persisted('a', 0, Number, { onWrite });
  one.value = 1;
  store.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };
  one.value = 2;
  forbid();
  one.value = 3;
  assert.equal(persisted('a', 8, Number).value, 8);
  assert.deepEqual([one.value, told], [3, [true, false, false]]);
  assert.deepEqual([readKept('a'), writeKept('a', 1), writeKept('a', undefined), keysKept('')], [undefined, false, false, []]);
});

test('what another tab has written is taken, not written back', () => {
  const store = withStore({ a: '1', ab: '2', b: '3' });
  let writes = 0;
  const one = persisted('a', 0, Number, { onWrite: () => { writes += 1; } });
  store.a = '5';
  one.reread();
  assert.deepEqual([one.value, writes], [5, 0]);
  delete store.a;
  one.reread();
  assert.deepEqual([one.value, writes], [0, 0]);
  assert.deepEqual(keysKept('a'), ['ab']);
  // By itself, too; but nothing that the store refused gives way to it.
  store.a = '7';
  tell('ab');
  assert.equal(one.value, 0);
  tell('a');
  assert.deepEqual([one.value, writes], [7, 0]);
  store.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };
  one.value = 8;
  store.a = '9';
  tell('a');
  assert.equal(one.value, 8);
});
