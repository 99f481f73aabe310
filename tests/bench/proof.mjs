// Times the native program's proof at print resolution and watches its memory: a JSON line each.
//   node tests/bench/proof.mjs path/to/platewright OUTPUT.png
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';

const DPI = 1200;
/** Ticks of /proc/PID/stat in a second, on every Linux. */
const TICKS = 100;

const [program, output] = process.argv.slice(2);
const say = (name, value, target, unit) => process.stdout.write(`${JSON.stringify({ name, value, target, unit })}\n`);

const begun = performance.now();
const child = spawn(program, ['proof', '--dpi', String(DPI), '--output', output], { stdio: 'inherit' });
let most = 0;
let cpu = 0;
const watch = setInterval(() => {
  try {
    most = Math.max(most, Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))?.[1] ?? 0) / 1024);
    const [, , , , , , , , , , , user, system] = readFileSync(`/proc/${child.pid}/stat`, 'utf8').replace(/^.*\) /, '').split(' ');
    cpu = (Number(user) + Number(system)) / TICKS;
  } catch { /* no such folder here, or gone */ }
}, 100);
child.on('exit', (code) => {
  clearInterval(watch);
  if (code !== 0) process.exit(1);
  const seconds = (performance.now() - begun) / 1000;
  const name = `150 × 200 mm at ${DPI} dpi, every grain, as PNG`;
  say(name, seconds, undefined, 's');
  if (most > 0) say('its memory at most', most, 1024, 'MB');
  if (cpu > 0) say('cores kept busy', cpu / seconds, undefined, 'of all');
});
