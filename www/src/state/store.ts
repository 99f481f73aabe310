import { effect } from '@preact/signals';
import { catalogue, plan } from './plan';
import { said } from './results';

const KEY = 'platewright.plan';
/** Time after the last change before the plan is written, ms. */
const AFTER_MS = 300;

let timer = 0;
let complained = false;

/** The plan left in this browser, as text, or null. */
export function rememberedPlan(): string | null {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return null;
  }
}

function write(): void {
  clearTimeout(timer);
  if (!catalogue.peek()) return;
  try {
    localStorage.setItem(KEY, JSON.stringify(plan.peek()));
  } catch {
    if (complained) return;
    complained = true;
    said.value = 'This browser keeps no plans for this page. Use “Save plan” before you close it.';
  }
}

/** Keeps the plan in hand written down. */
export function keepPlan(): void {
  effect(() => {
    void plan.value;
    clearTimeout(timer);
    timer = window.setTimeout(write, AFTER_MS);
  });
  addEventListener('pagehide', write);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'hidden') write();
  });
}
