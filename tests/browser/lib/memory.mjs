// Memory of the page with all its workers, which are one process of Chromium.

import { readdirSync, readFileSync } from 'node:fs';

/**
 * Memory of the largest renderer that this program has begotten, MB: `own` as Chromium's task manager counts it, which
 * on Linux is what lies in no file and nobody shares, and what of that was swapped out (`private_footprint_kb` of
 * Chromium's memory instrumentation); `resident` with the pages of Chromium's own program that are in memory at the time,
 * which all its processes share.
 */
export function rendererMemory() {
  const most = { own: 0, resident: 0 };
  for (const entry of readdirSync('/proc').filter((name) => /^\d+$/.test(name))) {
    try {
      if (!readFileSync(`/proc/${entry}/cmdline`, 'utf8').includes('--type=renderer') || !isOurs(entry)) continue;
      const status = readFileSync(`/proc/${entry}/status`, 'utf8');
      const mb = (name) => Number(new RegExp(`${name}:\\s+(\\d+)`).exec(status)?.[1] ?? 0) / 1024;
      most.own = Math.max(most.own, mb('RssAnon') + mb('VmSwap'));
      most.resident = Math.max(most.resident, mb('VmRSS'));
    } catch { /* gone meanwhile */ }
  }
  return most;
}

/** Looks again and again until it is stopped, which gives the most that was seen. */
export function watchMemory(every_ms = 100) {
  const most = { own: 0, resident: 0 };
  const look = () => {
    const now = rendererMemory();
    for (const count of Object.keys(most)) most[count] = Math.max(most[count], now[count]);
  };
  const timer = setInterval(look, every_ms);
  return () => {
    clearInterval(timer);
    look();
    return most;
  };
}

/** A process that this program has begotten, over however many generations. */
function isOurs(pid) {
  for (let at = Number(pid); at > 1;) {
    if (at === process.pid) return true;
    at = Number(/\) \S+ (\d+)/.exec(readFileSync(`/proc/${at}/stat`, 'utf8'))[1]);
  }
  return false;
}
