// The proof's place in its frame, and which of its tiles is printed next.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { AT_SIZE, fitted, kept, sheetOf, wholeSheet, zoomed } = await pageModule('ui/sheetView.ts');
const { Pyramid } = await pageModule('engine/pyramid.ts');

test('a plan’s plate and sheet in µm, its corners no rounder than it has room for', () => {
  assert.deepEqual(sheetOf(PLAN), { width: 150_000, height: 200_000, margin: 30_000, bevel: 2000, corner: 3000 });
  assert.equal(sheetOf({ ...PLAN, plate: { ...PLAN.plate, width_mm: 20, corner_radius_mm: 40 } }).corner, 10_000);
});

test('the whole sheet lies in the middle of its frame, with a little of the bench round it', () => {
  const sheet = sheetOf(PLAN);
  const { scale, x, y, fit } = wholeSheet(sheet, 2100, 2600);
  // Height decides: 260 mm of sheet in 2600 px, less a 26th of 24 px round it.
  assert.deepEqual([x, y, fit], [75_000, 100_000, 'sheet']);
  assert.ok(Math.abs(scale - 0.01 * 0.96) < 1e-12, `${scale}`);
  assert.ok(Math.abs(wholeSheet(sheet, 210, 260).scale - 0.001 * 0.9) < 1e-12, 'a small frame keeps a tenth');
});

test('the plate fills its frame with a strip of its paper round it, no wider than its margin', () => {
  const sheet = sheetOf(PLAN);
  // A strip of 7.5 mm round 200 mm of plate, in 2150 px.
  assert.deepEqual(fitted('plate', sheet, 4000, 2150), { scale: 0.01, x: 75_000, y: 100_000, fit: 'plate' });
  assert.ok(Math.abs(fitted('plate', sheet, 1650, 4000).scale - 0.01) < 1e-12, 'or its width, with the strip');
  assert.equal(fitted('plate', { ...sheet, margin: 0 }, 4000, 2000).scale, 0.01);
  assert.deepEqual(fitted('sheet', sheet, 2100, 2600), wholeSheet(sheet, 2100, 2600));
});

test('nearer and farther about a point: what lies there stays there', () => {
  const from = { scale: 0.01, x: 75_000, y: 100_000, fit: 'sheet' };
  const to = zoomed(from, 2, 100, -50, 0.001);
  assert.deepEqual([to.scale, to.fit], [0.02, null]);
  const under = (view) => [view.x + 100 / view.scale, view.y - 50 / view.scale];
  assert.deepEqual(under(to), under(from));
  assert.equal(zoomed(from, 1e6, 0, 0, 0.001).scale, 0.5, 'no nearer than 2 µm a pixel');
  assert.equal(zoomed(from, 1e-6, 0, 0, 0.001).scale, 0.001, 'no farther than the least');
  assert.ok(Math.abs(AT_SIZE * 25_400 - 96) < 1e-9, 'an inch at size is 96 css pixels');
});

test('some of the sheet stays in the frame', () => {
  const sheet = sheetOf(PLAN);
  const at = (x, y) => { const { x: left, y: top } = kept({ scale: 0.01, x, y, fit: null }, sheet); return [left, top]; };
  assert.deepEqual(at(-1e9, 1e9), [-30_000, 230_000]);
  assert.deepEqual(at(10, 20), [10, 20]);
});

/** The eye on a place, so far away that the base image serves. */
const eye = (focusX, focusY, px_um = 100) => ({ left: 0, top: 0, right: 24_000, bottom: 48_000, focusX, focusY, px_um });

test('tiles are printed from where the eye is outwards, each once', () => {
  let told = 0;
  const proof = new Pyramid(24, 48, () => { told += 1; }, 16e6);
  assert.deepEqual([proof.base_um, proof.width, proof.height, proof.firstWidth, proof.tiles], [50, 480, 960, 120, 9]);
  assert.ok(proof.fits(24, 48) && !proof.fits(24, 49));
  const jobs = [];
  for (let job = proof.nextJob(eye(5000, 45_000), 0, 1); job; job = proof.nextJob(eye(5000, 45_000), 0, 1)) jobs.push(job);
  assert.deepEqual(jobs[0].tile, [0, 2, 9600, 19_200, 50, 5, 3], 'bottom left, where the eye is');
  const far = jobs.map(({ tile: [column, row] }) => Math.hypot((column + 0.5) * 9600 - 5000, (row + 0.5) * 19_200 - 45_000));
  assert.deepEqual(far, [...far].sort((a, b) => a - b));
  assert.equal(new Set(jobs.map(({ tile: [column, row] }) => `${column}/${row}`)).size, 9);
  for (const job of jobs) job.dropped();
  assert.deepEqual([proof.tilesDone, proof.done, told], [9, true, 9]);
  proof.renew();
  assert.equal(proof.done, false);
  assert.ok(proof.nextJob(eye(0, 0), 0, 1), 'all is to be printed anew');
});

test('a printed tile stands at its place in the picture that is saved', () => {
  const proof = new Pyramid(24, 48, () => undefined, 16e6);
  const job = proof.nextJob(eye(12_000, 24_000), 0, 1);
  assert.deepEqual(job.tile.slice(0, 2), [1, 1]);
  job.done({ grey: new Uint8Array(192 * 384).fill(7), width: 192, height: 384 });
  const at = (x, y) => proof.grey[y * 480 + x];
  assert.deepEqual([at(191, 384), at(192, 383), at(192, 384), at(383, 767), at(384, 767)], [255, 255, 7, 7, 255]);
});

test('where little room is, the whole sheet has fewer pixels and as many tiles', () => {
  const [desk, phone] = [16e6, 5e6].map((most) => new Pyramid(150, 200, () => undefined, most));
  assert.deepEqual([desk.base_um, phone.base_um], [50, 80]);
  assert.equal(phone.grey.length, 1875 * 2500);
  assert.equal(phone.tiles, desk.tiles);
  const job = phone.nextJob(eye(14_000, 28_000), 0, 1);
  assert.deepEqual(job.tile, [1, 1, 9600, 19_200, 80, 5, 3], 'of the same grain');
  job.done({ grey: new Uint8Array(120 * 240).fill(7), width: 120, height: 240 });
  assert.deepEqual([phone.grey[240 * 1875 + 120], phone.grey[480 * 1875 + 240]], [7, 255]);
});

test('two workers keep to sectors of their own round the eye', () => {
  const proof = new Pyramid(96, 192, () => undefined, 16e6);
  const centre = eye(48_000, 96_000);
  const taken = [0, 1, 0, 1, 0, 1, 0, 1, 0, 1].map((lane) => [lane, proof.nextJob({ ...centre, right: 96_000, bottom: 192_000 }, lane, 2).tile]);
  const above = (lane) => taken.filter(([by]) => by === lane).map(([, [, row]]) => row < 5);
  assert.deepEqual([...new Set(above(0))].length, 1, 'one of them above the eye or below');
  assert.deepEqual([...new Set(above(1))].length, 1);
  assert.notEqual(above(0)[0], above(1)[0]);
});

test('from near by, the sharp grain in sight comes first, nearest to the eye', () => {
  const proof = new Pyramid(24, 24, () => undefined, 16e6);
  const near = { left: 9000, top: 9000, right: 11_000, bottom: 11_000, focusX: 10_000, focusY: 10_000, px_um: 5 };
  // 5 µm in tiles of 320 pixels: 1.6 mm each.
  assert.deepEqual(proof.nextJob(near, 0, 1).tile, [6, 6, 1600, 1600, 5, 5, 0]);
  let fine = 1;
  for (let job = proof.nextJob(near, 0, 1); job.tile[4] === 5; job = proof.nextJob(near, 0, 1)) fine += 1;
  assert.equal(fine, 4, 'two by two are in sight; then the base image');
});

test('not everywhere, only what the eye can make out is reckoned', () => {
  const proof = new Pyramid(24, 48, () => undefined, 16e6);
  const next = (px_um, right) => proof.nextJob({ ...eye(2000, 2000, px_um), right, bottom: right }, 0, 1, false);
  assert.equal(next(200, 24_000), null, 'from afar the first pass shows as much');
  // Tiles are 9.6 mm wide and twice as high: those just out of sight are about to come into it.
  const seen = [];
  for (let job = next(100, 12_000); job; job = next(100, 12_000)) seen.push(job.tile.slice(0, 2).join('/'));
  assert.deepEqual(seen.sort(), ['0/0', '0/1', '1/0', '1/1']);
  assert.ok(proof.nextJob(eye(2000, 2000), 0, 1, true), 'and everywhere the rest');
});
