import { effect, signal, untracked } from '@preact/signals';
import type { Plan } from '../engine/protocol.ts';
import { pool } from '../engine/scheduler.ts';
import { tell } from './notifications.ts';
import { refused, said } from './results.ts';
import { catalogue } from './catalogue.ts';
import { plan, redo, redoStep, undo, undoStep } from './plan.ts';
import { worded } from './settings.ts';

/** Quiet time after a change before its words are asked for, ms. */
const AFTER_MS = 150;

/** What undo and redo would change, in words; null when there is nothing. */
export const undoWords = signal<string | null>(null);
export const redoWords = signal<string | null>(null);

let asked = 0;

/** A change in words: "wait 30 s → 60 s"; its own name where many things changed at once, or a plan is unsound. */
async function inWords(name: string, before: Plan, after: Plan): Promise<string> {
  try {
    const told = await pool.plain('differences', before, after);
    return told.differences.length === 1 ? worded(told.name) : name;
  } catch {
    return name;
  }
}

async function askWords(): Promise<void> {
  const mine = ++asked;
  const now = plan.value;
  const [back, forth] = [undoStep.value, redoStep.value];
  const back_words = back && await inWords(back.name, back.plan, now);
  const forth_words = forth && await inWords(forth.name, now, forth.plan);
  if (mine !== asked) return;
  undoWords.value = back_words;
  redoWords.value = forth_words;
}

/** Keeps the words of undo and redo up to date. */
export function keepNames(): void {
  let timer = 0;
  effect(() => {
    const [back, forth] = [undoStep.value, redoStep.value];
    void plan.value;
    if (!catalogue.value) return;
    untracked(() => {
      // Until the exact words are there, the plain name.
      undoWords.value = back?.name ?? null;
      redoWords.value = forth?.name ?? null;
      clearTimeout(timer);
      timer = window.setTimeout(() => void askWords(), AFTER_MS);
    });
  });
}

export function undoAloud(): void {
  const words = undoWords.value;
  if (words === null) return;
  undo();
  refused.value = said.value = null;
  tell(`Undone: ${words}`);
}

export function redoAloud(): void {
  const words = redoWords.value;
  if (words === null) return;
  redo();
  refused.value = said.value = null;
  tell(`Done again: ${words}`);
}
