import { useSignalEffect } from '@preact/signals';
import { useRef, useState } from 'preact/hooks';
import type { Summary } from '../../engine/protocol.ts';
import { nameOf } from '../../store/heldUp.ts';
import { errors, proofIn, summary, toLookAt } from '../../store/results.ts';
import { explained } from '../../store/settings.ts';

/** Quiet time before what is new is spoken, ms: a hand that goes on is not talked over. */
const AFTER_MS = 1200;

function words(now: Summary | null): string {
  const [first, ...others] = errors.value;
  if (first) return `${nameOf(first.field)}${others.length > 0 ? ` and ${others.length} more` : ''} can’t be used. ${explained(first)}`;
  if (!now) return '';
  const tones = now.values.map(({ lightness }) => lightness.toFixed(0)).join(', ');
  const warnings = toLookAt.value.map(explained);
  return [`L*, paper first: ${tones}.`, ...warnings, proofIn.value ? 'Every grain of the proof is in.' : ''].filter(Boolean).join(' ');
}

/** For those who hear the page: new values, warnings and refusals, once the hand has come to rest. */
export function Spoken() {
  const [said, setSaid] = useState('');
  const known = useRef<string | null>(null);
  const timer = useRef(0);
  useSignalEffect(() => {
    const next = words(summary.value);
    clearTimeout(timer.current);
    if (next === '') return;
    // What the page opens with is read with the page.
    known.current ??= next;
    timer.current = window.setTimeout(() => {
      if (next === known.current) return;
      known.current = next;
      setSaid(next);
    }, AFTER_MS);
  });
  return <p class="unseen" role="status" id="spoken">{said}</p>;
}
