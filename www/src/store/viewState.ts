import { computed, signal } from '@preact/signals';
import type { FunctionComponent } from 'preact';
import type { Printed } from '../engine/protocol.ts';
import { plan } from './plan.ts';

/** Widths of the linen tester's field, mm, and how many pixels it is reckoned in. */
export const FIELDS_MM = [1, 2, 4] as const;
export const FIELD_PX = 500;
/** Width of the cut, µm: the middle of the field. */
export const CUT_UM = 400;

/** Middle of the linen tester's field, µm on the print. */
export const lens = signal<{ x: number; y: number }>({ x: 0, y: 0 });
export const fieldMm = signal<number>(2);
export const show = signal<'print' | 'copper'>('print');
/** Bites done in the cut and on the copper; one more than the bites means wiped. */
export const stage = signal<number>(Infinity);

export const bitesDone = computed(() => Math.min(stage.value, plan.value.bites.length));
export const inked = computed(() => stage.value > plan.value.bites.length);

/** Areas are being drawn by hand on the proof. */
export const drawing = signal(false);
/** What of lines and tone is printed, where there are lines. */
export const printed = signal<Printed>('both');
/** Number of the state of the plate that is looked at; 0 is the last. */
export const state = signal(0);
/** How what lies over the proof moves it; a zoom keeps the place so many css pixels from the middle of the frame. */
export interface ProofMoves { pan: (dx: number, dy: number) => void; zoom: (factor: number, dx?: number, dy?: number) => void }
/** What lies over the proof while a tool is in hand. */
export const overProof = signal<FunctionComponent<ProofMoves> | null>(null);
/** Where the fault that is being changed lies, over the proof. */
export const faultMark = signal<FunctionComponent | null>(null);

/** Puts the linen tester down at a place, its middle kept on the plate. */
export function placeLens(x: number, y: number): void {
  const { width_mm, height_mm } = plan.value.plate;
  lens.value = {
    x: Math.round(Math.min(width_mm * 1000, Math.max(0, x))),
    y: Math.round(Math.min(height_mm * 1000, Math.max(0, y))),
  };
}
