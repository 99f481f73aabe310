// Times the first proof over a slow network, in headless Chromium behind a line held to a rate: a JSON line each.
//   node tests/bench/network.mjs
// `dist` is served as a host serves it; each rate is tried anew with an empty store, and the median of three counts.
// The line is a relay of our own: the browser's throttling does not reach what its workers fetch.

import { spawn } from 'node:child_process';
import net from 'node:net';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';

const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');
const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
const RUNS = 3;
const PACKET_BYTES = 1460;
/** Rates in Mbit/s with the round trip of such a line, ms, and the longest wait for a first proof, ms. */
const LINES = [
  { rate: 10, trip_ms: 40, target: 2000 },
  { rate: 1.6, trip_ms: 150, target: 6000 },
];

const target = process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target');
const server = spawn(path.join(target, 'debug/xtask'), ['serve', path.join(ROOT, 'dist'), '--port', '0'], { stdio: ['ignore', 'pipe', 'inherit'] });
const port = await new Promise((resolve, reject) => {
  server.stdout.on('data', (text) => {
    const found = /localhost:(\d+)/.exec(String(text));
    if (found) resolve(Number(found[1]));
  });
  server.on('exit', () => reject(new Error('The server ended; run scripts/build first.')));
});

/** A relay to the server: all connections share `rate` Mbit/s downwards, and each answer is `trip_ms` away. */
function line({ rate, trip_ms }) {
  const told = { bytes: 0 };
  /** What is on its way, in the order in which it was sent: when it arrives, and what is done then. */
  const sent = [];
  let free_ms = 0;
  let waiting = false;
  const later = (packet_bytes, done) => {
    free_ms = Math.max(free_ms, performance.now()) + (packet_bytes * 8) / (rate * 1000);
    sent.push({ at_ms: free_ms, done });
    if (!waiting) arrive();
  };
  const arrive = () => {
    while (sent[0] && sent[0].at_ms <= performance.now()) sent.shift().done();
    waiting = sent.length > 0;
    if (waiting) setTimeout(arrive, Math.max(1, sent[0].at_ms - performance.now()));
  };
  const relay = net.createServer((client) => {
    const upstream = net.connect(port, '127.0.0.1');
    const end = () => { client.destroy(); upstream.destroy(); };
    client.on('error', end);
    upstream.on('error', end);
    // Opening a connection costs one round trip, asking another.
    client.on('data', (asked) => setTimeout(() => { if (!upstream.destroyed) upstream.write(asked); }, 2 * trip_ms));
    upstream.on('data', (chunk) => {
      // In packets of the usual size, so that connections share the line as they do outside.
      for (let at = 0; at < chunk.length; at += PACKET_BYTES) {
        const packet = chunk.subarray(at, at + PACKET_BYTES);
        told.bytes += packet.length;
        later(packet.length, () => { if (!client.destroyed) client.write(packet); });
      }
    });
    upstream.on('end', () => later(0, () => client.end()));
  });
  return new Promise((resolve) => { relay.listen(0, '127.0.0.1', () => resolve({ relay, told, address: `http://127.0.0.1:${relay.address().port}/` })); });
}

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: FLAGS });
try {
  for (const { rate, trip_ms, target: longest } of LINES) {
    const waits = [];
    let bytes = 0;
    for (let i = 0; i < RUNS; i++) {
      const { relay, told, address } = await line({ rate, trip_ms });
      const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
      const page = await context.newPage();
      await page.goto(address, { waitUntil: 'commit' });
      waits.push(await page.evaluate(() => new Promise((resolve, reject) => {
        const observer = new PerformanceObserver((list) => {
          const first = list.getEntriesByName('first-pass')[0];
          if (first) resolve(first.startTime);
        });
        observer.observe({ type: 'mark', buffered: true });
        setTimeout(() => reject(new Error('no first proof within two minutes')), 120_000);
      })));
      bytes = told.bytes;
      await context.close();
      relay.close();
    }
    const median = waits.sort((a, b) => a - b)[Math.floor(RUNS / 2)];
    process.stdout.write(`${JSON.stringify({ name: `first proof at ${rate} Mbit/s, ${trip_ms} ms away (${Math.round(bytes / 1000)} kB until then)`, value: median, target: longest, unit: 'ms' })}\n`);
  }
} finally {
  await browser.close();
  server.kill();
}
