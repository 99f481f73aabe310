import type { Plan, Summary } from '../engine/protocol.ts';
import type { Amounts } from '../engine/protocol.ts';
import type { Units } from '../store/settings.ts';

/* The list of steps and what it is made from. */

export type BenchPart = 'ground' | 'bath' | 'print' | 'states';

export interface BenchStep {
  id: string;
  part: BenchPart;
  name: string;
  /** What to do, a sentence or two each. */
  todo: string[];
  /** What to look for, and what to do if it isn't so. */
  look?: string;
  ifNot?: string;
  /** What not to forget. */
  mind?: string;
  caution?: string;
  /** Keys of its cautions. */
  cautions: string[];
  /** The same in a few words, each caution apart. */
  marks: string[];
  /** Weights and figures alone, for those who know the rest. */
  short?: string;
  /** What to do when it ran over its set time; of bites under the first ground it is calculated. */
  late?: string;
  /** Set time, s; null for a step without one. */
  seconds: number | null;
  /** Minutes allowed for a step without a set time, for the sheet's times of day. Common practice, no source. */
  allow_min: number;
  /** First and last of the plan's bites that run as this one; the last is the value that is then finished. */
  bite?: [number, number];
  /** Value to stop out. */
  stop?: number;
}

/** Settings of the room and the day, stored apart from the plan. */
export interface Shop {
  /** Start of work, minutes after midnight. */
  begin_min: number;
  /** Minutes between two bites, for rinsing, stopping out and drying. */
  between_min: number;
  /** Floor of the dust box, cm. */
  floor_cm: [number, number];
  /** Impressions the ink is mixed for. */
  impressions: number;
}

export interface Known {
  plan: Plan; summary: Summary | null; amounts: Amounts | null;
  shop: Shop; units: Units;
  /** What bites are to run instead of as planned, s by step, where others ran otherwise; with 0 a bite falls away. */
  instead?: Record<string, number>;
}
