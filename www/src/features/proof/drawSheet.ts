import type { Summary } from '../../engine/protocol.ts';
import type { Viewport, Pyramid } from '../../engine/pyramid.ts';
import type { Sheet, View } from '../../ui/sheetView.ts';

/** Screen tone of paper before the plan's own is known. */
const PLAIN_PAPER = 237;

/** Screen tone of the bare sheet round the plate, 0–255: the paper alone, without the ink film that wiped copper prints. */
export function bareSheet(numbers: Summary | null): number {
  return numbers?.sheet_srgb ?? PLAIN_PAPER;
}

export interface Scene {
  sheet: Sheet; view: View; dpr: number; width: number; height: number;
  pyramid: Pyramid | null;
  /** Screen tone of the bare paper, 0–255. */
  paper: number;
}

/** Draws the sheet as it lies on the bench: paper, plate mark, print. */
export function drawSheet(context: CanvasRenderingContext2D, scene: Scene, gaze: Viewport): void {
  const { sheet, view, dpr, width, height } = scene;
  const s = view.scale * dpr;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.clearRect(0, 0, width * dpr, height * dpr);
  context.setTransform(s, 0, 0, s, (width / 2 - view.x * view.scale) * dpr, (height / 2 - view.y * view.scale) * dpr);
  drawPaper(context, scene, 1 / s);
  drawPlateMark(context, sheet, 1 / s);
  if (scene.pyramid) {
    context.save();
    context.beginPath();
    context.roundRect(0, 0, sheet.width, sheet.height, sheet.corner);
    context.clip();
    scene.pyramid.draw(context, gaze);
    context.restore();
  }
}

function drawPaper(context: CanvasRenderingContext2D, { sheet, paper, dpr }: Scene, px: number): void {
  const left = -sheet.margin;
  const width = sheet.width + 2 * sheet.margin;
  const height = sheet.height + 2 * sheet.margin;
  // The sheet touches the bench: one soft line under its lower edges, no more.
  context.fillStyle = 'rgba(30, 22, 14, 0.16)';
  context.fillRect(left + px * dpr, left + px * dpr, width + px * dpr * 0.5, height + px * dpr * 1.5);
  context.fillStyle = `rgb(${paper},${paper},${paper})`;
  context.fillRect(left, left, width, height);
}

/** Light from the upper left: the bevel's upper and left walls lie in shade, the others catch it. */
function drawPlateMark(context: CanvasRenderingContext2D, sheet: Sheet, px: number): void {
  const wide = Math.max(sheet.bevel, 2.5 * px);
  const steps = Math.min(8, Math.max(2, Math.round(wide / px / 2)));
  context.lineWidth = wide / steps + px * 0.2;
  const shade = context.createLinearGradient(0, 0, sheet.width, sheet.height);
  shade.addColorStop(0, 'rgba(40, 34, 28, 0.30)');
  shade.addColorStop(0.42, 'rgba(40, 34, 28, 0.16)');
  shade.addColorStop(0.58, 'rgba(255, 255, 255, 0.55)');
  shade.addColorStop(1, 'rgba(255, 255, 255, 0.85)');
  context.strokeStyle = shade;
  for (let i = 0; i < steps; i++) {
    const out = (wide / steps) * (i + 0.5);
    // Strongest at the foot of the wall, fading where the paper curls up to the sheet.
    context.globalAlpha = (1 - i / steps) ** 1.6;
    context.beginPath();
    context.roundRect(-out, -out, sheet.width + 2 * out, sheet.height + 2 * out, sheet.corner + out);
    context.stroke();
  }
  context.globalAlpha = 1;
}
