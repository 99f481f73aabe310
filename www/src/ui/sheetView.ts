import { signal } from '@preact/signals';
import type { Plan } from '../engine/protocol.ts';
import { plan } from '../store/plan.ts';

/** How the sheet lies in the frame: css pixels per µm, and the print's place (µm) in the middle of the frame. */
export interface View { scale: number; x: number; y: number; fit: Fit | null }

/** What fills the frame: the plate with a strip of paper round it, or the whole sheet. */
export type Fit = 'plate' | 'sheet';

/** Plate and sheet, µm: the plate's size, the paper's margin, bevel and rounded corners. */
export interface Sheet { width: number; height: number; margin: number; bevel: number; corner: number }

/** A plan's plate and sheet. */
export function sheetOf(of: Plan = plan.value): Sheet {
  const { plate, paper } = of;
  return {
    width: plate.width_mm * 1000, height: plate.height_mm * 1000, margin: paper.margin_mm * 1000,
    bevel: plate.bevel_mm * 1000, corner: Math.min(plate.corner_radius_mm, plate.width_mm / 2, plate.height_mm / 2) * 1000,
  };
}

/** CSS pixels per µm at which a millimetre on the screen is a millimetre. */
export const AT_SIZE = 96 / 25_400;
/** Closest view: one CSS pixel shows this many µm. */
const CLOSEST = 1 / 2;

export const view = signal<View>({ scale: 0.002, x: 0, y: 0, fit: 'plate' });

/** Paper round the plate, as a share of its shorter side, where the plate fills the frame. */
const STRIP = 0.05;

/** The plate in the frame with a strip of its paper, or the whole sheet with a little of the bench round it. */
export function fitted(fit: Fit, sheet: Sheet, width: number, height: number): View {
  if (fit === 'sheet') return wholeSheet(sheet, width, height);
  const strip = Math.min(sheet.margin, STRIP * Math.min(sheet.width, sheet.height));
  const scale = Math.min(width / (sheet.width + 2 * strip), height / (sheet.height + 2 * strip));
  return { scale, x: sheet.width / 2, y: sheet.height / 2, fit };
}

/** The whole sheet in the frame, with a little of the bench round it. */
export function wholeSheet(sheet: Sheet, width: number, height: number): View {
  const room = Math.min(0.96, Math.max(0.9, 1 - 24 / Math.min(width, height)));
  const scale = room * Math.min(width / (sheet.width + 2 * sheet.margin), height / (sheet.height + 2 * sheet.margin));
  return { scale, x: sheet.width / 2, y: sheet.height / 2, fit: 'sheet' };
}

/** Nearer or farther about a point of the frame given from its middle, css pixels. */
export function zoomed(from: View, factor: number, dx: number, dy: number, least: number): View {
  const scale = Math.min(CLOSEST, Math.max(least, from.scale * factor));
  const by = 1 / from.scale - 1 / scale;
  return { scale, x: from.x + dx * by, y: from.y + dy * by, fit: null };
}

/** Keeps some of the sheet in the frame. */
export function kept(of: View, sheet: Sheet): View {
  const between = (v: number, length: number): number => Math.min(length + sheet.margin, Math.max(-sheet.margin, v));
  return { ...of, x: between(of.x, sheet.width), y: between(of.y, sheet.height) };
}
