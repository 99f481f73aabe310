import { BEAT_MS } from './beat.ts';

/*
 * Where there are no locks (Web Locks are for secure pages only, W3C), a worker that the system ends is noticed by its
 * pulse. It is not the worker itself that beats, which may reckon for minutes without hearing anything: a worker
 * of its own, which ends with it, does.
 */

/** Looks in a row without a beat after which a worker is taken for ended. Looks and beats come late alike when the machine is busy. */
const MOST_MISSED = 5;

interface Pulse { missed: number; begun: boolean; gone: () => void }

const pulses = new Set<Pulse>();
let looking = false;

function look(): void {
  // Nobody looks at a page that is hidden, and its clocks may stand still.
  if (document.hidden) return;
  for (const pulse of pulses) {
    if (!pulse.begun) continue;
    pulse.missed += 1;
    if (pulse.missed <= MOST_MISSED) continue;
    pulses.delete(pulse);
    pulse.gone();
  }
}

/** Gives the door by which a worker's beats come in; `gone` is told once they have stopped, also where the page has ended it. */
export function feel(gone: () => void): MessagePort {
  const { port1, port2 } = new MessageChannel();
  const pulse: Pulse = { missed: 0, begun: false, gone };
  port1.onmessage = () => { pulse.begun = true; pulse.missed = 0; };
  if (!looking) setInterval(look, BEAT_MS);
  looking = true;
  pulses.add(pulse);
  return port2;
}
