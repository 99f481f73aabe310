import { timeWords } from './benchUnits.ts';
import { benchList } from './list.ts';
import { planWords } from './planWords.ts';
import words from './risks.json';
import type { BenchStep, Known } from './types.ts';
import { and, caution, fillAll } from './words.ts';

/*
 * What a shop's own assessment of risks has to look at: every caution of the bench sheet once, under what it is about, with
 * what this plan uses there. What to make of it is not for the page to say.
 */

export interface Risk {
  name: string;
  /** What the plan uses; “…” leaves room for what it does not say. */
  uses: string[];
  /** The steps of the bench sheet that carry the cautions, by their numbers: “4 to 6, 31”. */
  steps: string;
  cautions: string[];
}

/** One entry for each thing that this plan needs. Numbers that are not calculated yet stand as “…”. */
export function risksOf(known: Known): Risk[] {
  const list = benchList(known);
  const bitten_s = list.reduce((sum, { seconds, cautions }) => sum + (cautions.includes('bite') ? seconds ?? 0 : 0), 0);
  const given = and(planWords(known), { bath_minutes: timeWords(bitten_s) });
  return words.risks.flatMap(({ name, cautions, uses }): Risk[] => {
    const here = list.flatMap((step, i) => (step.cautions.some((key) => cautions.includes(key)) ? [{ step, number: i + 1 }] : []));
    if (here.length === 0) return [];
    const found = cautions.filter((key) => here.some(({ step }) => step.cautions.includes(key)));
    return [{
      name, steps: ranges(here.map(({ number }) => number)), cautions: found.map((key) => caution(key, given)),
      uses: [...fillAll(uses, given), ...here.flatMap(({ step }) => later(step))],
    }];
  });
}

/** What a later ground or state adds, where that is an amount. */
function later({ part, name, short, seconds, cautions }: BenchStep): string[] {
  return part === 'states' && short && seconds === null && cautions.some((key) => key === 'powder' || key === 'heat' || key === 'bath') ? [`${name}: ${short}`] : [];
}

/** 4, 5, 6, 31 as “4 to 6, 31”. */
function ranges(numbers: number[]): string {
  const runs: [number, number][] = [];
  for (const number of numbers) {
    const last = runs.at(-1);
    if (last && last[1] === number - 1) last[1] = number;
    else runs.push([number, number]);
  }
  return runs.map(([from, to]) => (from === to ? String(from) : to === from + 1 ? `${from}, ${to}` : `${from} to ${to}`)).join(', ');
}

/** The products that safety data sheets are wanted for. */
export const productsOf = (known: Known): string[] => fillAll(words.products, planWords(known));
