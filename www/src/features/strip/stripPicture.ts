import type { Image, Plan } from '../../engine/protocol.ts';
import { fileName, offer } from '../../store/files.ts';
import { lengthWords } from '../../store/settings.ts';
import { CUT_WIDTH_UM, deepestOf, PATCH, type Patch, type StripWork } from './strip.ts';
import { slug } from './stripFile.ts';
import type { Step } from './vary.ts';
import { linear, path, smooth } from '../../ui/ticks.ts';
import { copperShape, inkShape, resinShape } from '../../ui/cutShapes.ts';
import { MEASURES, rangeOf, rowLabels, type Measure } from './StripCurve.tsx';
import { THUMB, thumbScale } from './CutThumb.tsx';
import { LINES } from './StripRecord.tsx';

/** Distances in pixels. */
const EDGE = 48;
const GAP = 20;
const LINE = 30;
const CURVE = 340;
const SIDE = 190;
const STEP = PATCH.width_px + GAP;

const INK = '#1e1a16';
const SOFT = '#5c5348';
const HAIR = '#cdc3b2';
const COPPER = '#94431a';
const RESIN = '#c98d62';

/** The strip as one PNG, for the wall or a lecture: patches at their own pixels, what was varied, grain, cuts, numbers, curve. */
export async function saveStripPicture(work: StripWork, base: Plan, measure: Measure): Promise<void> {
  const canvas = document.createElement('canvas');
  const record = work.rows[0] === null;
  const { columns, rows } = work;
  const cut = thumbScale(CUT_WIDTH_UM, deepestOf(work));
  const cutHeight = (cut.height * PATCH.width_px) / THUMB.width;
  const below = record ? PATCH.width_px + GAP + cutHeight + GAP + LINES.length * LINE + GAP : 0;
  const rowHeight = PATCH.height_px + LINE + 12;
  const top = EDGE + 106;
  canvas.width = EDGE + SIDE + columns.length * STEP + (record ? 0 : 90) + EDGE - GAP;
  canvas.height = top + rows.length * rowHeight + below + GAP + CURVE + EDGE;
  const on = canvas.getContext('2d');
  if (!on) throw new Error('This browser gives the page no canvas to draw on.');
  const page = new Page(on, canvas, work, base);
  page.head();
  for (const patch of work.patches) page.patch(patch, top, rowHeight);
  let y = top + rows.length * rowHeight;
  if (record) y = page.record(y, cut, cutHeight);
  page.curve(y + GAP, measure);
  const blob = await new Promise<Blob | null>((resolve) => { canvas.toBlob(resolve, 'image/png'); });
  if (!blob) throw new Error('This browser could not make a picture of the strip.');
  offer(blob, fileName(`-${slug(work)}.png`));
}

/** One picture being drawn. */
class Page {
  private readonly sans: string;
  private readonly serif: string;

  constructor(private readonly on: CanvasRenderingContext2D, canvas: HTMLCanvasElement, private readonly work: StripWork, private readonly base: Plan) {
    on.fillStyle = '#fff';
    on.fillRect(0, 0, canvas.width, canvas.height);
    const style = getComputedStyle(document.body);
    this.sans = style.fontFamily;
    this.serif = getComputedStyle(document.querySelector('h1, h2') ?? document.body).fontFamily;
  }

  head(): void {
    const { columns, rows, settings } = this.work;
    const [along, down] = [this.label(columns[0]?.key), rows[0] ? this.label(rows[0].key) : null];
    this.write(`${this.base.title || 'Untitled plate'}: ${along.toLowerCase()}${down ? ` by ${down.toLowerCase()}` : ''}`, EDGE, EDGE + 24, 34, INK, true);
    const printed = this.work.patches[0]?.value === 1 && settings.value !== 1 ? 'one bite' : `value ${settings.value ?? 1}`;
    this.write(`Test strip, ${printed} printed, everything else as in the plan. Patches ${lengthWords((PATCH.width_px * PATCH.px_um) / 1000, 1)} wide.`, EDGE, EDGE + 56, 21, SOFT);
    for (const [c, step] of columns.entries()) this.place(step, this.left(c), EDGE + 94);
  }

  patch(patch: Patch, top: number, rowHeight: number): void {
    const x = this.left(patch.column);
    const y = top + patch.row * rowHeight;
    const row = this.work.rows[patch.row];
    if (row && patch.column === 0) this.place(row, EDGE, y + 20);
    if (patch.print) this.pixels(patch.print, x, y, PATCH.width_px, PATCH.height_px);
    else {
      this.on.strokeStyle = HAIR;
      this.on.strokeRect(x + 0.5, y + 0.5, PATCH.width_px - 1, PATCH.height_px - 1);
      this.paragraph(patch.wrong ?? '', x + 12, y + 34, PATCH.width_px - 24);
    }
    if (patch.numbers && patch.wrong === null && row) {
      const { lightness, density } = patch.numbers;
      this.write(`L* ${lightness.toFixed(0)}   D ${density.toFixed(2)}`, x, y + PATCH.height_px + 24, 20, SOFT);
    }
  }

  /** Grain, cut and numbers under a single row; gives where it ends. */
  record(top: number, cut: ReturnType<typeof thumbScale>, cutHeight: number): number {
    const { patches } = this.work;
    const at = { grain: top, cut: top + PATCH.width_px + GAP, lines: top + PATCH.width_px + GAP + cutHeight + GAP };
    this.write(`print, ${lengthWords((PATCH.width_px * PATCH.px_um) / 1000, 1)}`, EDGE, top - (PATCH.height_px + LINE + 12) + 20, 20, SOFT);
    this.write(`grain, ${lengthWords(2)}`, EDGE, at.grain + 20, 20, SOFT);
    this.write(`cut, ${lengthWords(CUT_WIDTH_UM / 1000, 1)}`, EDGE, at.cut + 20, 20, SOFT);
    for (const [i, { name, unit }] of LINES.entries()) this.write(`${name} ${unit}`, EDGE, at.lines + i * LINE + 20, 20, SOFT);
    patches.forEach((patch, c) => {
      const x = this.left(c);
      if (patch.look) {
        this.pixels(patch.look.grain, x, at.grain, PATCH.width_px, PATCH.width_px);
        const fold = new Path2D();
        fold.rect(0, 0, THUMB.width, cut.height);
        this.on.save();
        this.on.translate(x, at.cut);
        this.on.scale(PATCH.width_px / THUMB.width, PATCH.width_px / THUMB.width);
        this.on.clip(fold);
        this.fill(inkShape(patch.look.cut, cut.x, cut.y), INK);
        this.fill(resinShape(patch.look.cut, cut.x, cut.y), RESIN);
        this.fill(copperShape(patch.look.cut, cut.x, cut.y, cut.height), COPPER);
        this.on.restore();
      }
      for (const [i, { of }] of LINES.entries()) this.write(patch.numbers && patch.wrong === null ? of(patch.numbers) : '–', x, at.lines + i * LINE + 20, 22, INK);
    });
    return at.lines + LINES.length * LINE;
  }

  /** The curve, each point under the patch it belongs to. */
  curve(top: number, measure: Measure): void {
    const { columns, rows, patches } = this.work;
    const { name, of } = MEASURES[measure];
    const heights = patches.map(({ numbers, wrong }) => (numbers && wrong === null ? of(numbers) : NaN));
    const tall = rangeOf(measure, heights);
    const x = (c: number): number => this.left(c) + PATCH.width_px / 2;
    const y = linear(tall.low, tall.high, top + CURVE - 24, top + 24);
    const end = this.left(columns.length) - GAP;
    this.write(name, EDGE, y(tall.high) + 6, 20, SOFT);
    for (const v of tall.marks) {
      this.on.fillStyle = HAIR;
      this.on.fillRect(this.left(0), Math.round(y(v)), end - this.left(0), 1);
      this.write(String(Number(v.toPrecision(6))), this.left(0) - 12, y(v) + 6, 18, SOFT, false, 'right');
    }
    rows.forEach((row, r) => {
      const own = heights.slice(r * columns.length, (r + 1) * columns.length);
      const at = columns.map((_, c) => c);
      const number = this.work.variable(columns[0]?.key)?.field !== undefined;
      this.on.strokeStyle = INK;
      this.on.lineWidth = row ? 1.5 : 2.5;
      this.on.setLineDash(number ? [] : [4, 8]);
      this.on.stroke(new Path2D(number ? smooth(at, own, x, y) : path(at, own, x, y)));
      this.on.setLineDash([]);
      own.forEach((height, c) => {
        if (!Number.isFinite(height)) return;
        const step = columns[c];
        const mine = step !== undefined && this.work.owns(step) && (!row || this.work.owns(row));
        this.on.fillStyle = mine ? COPPER : INK;
        this.on.beginPath();
        this.on.arc(x(c), y(height), mine ? 8 : row ? 4 : 6, 0, 2 * Math.PI);
        this.on.fill();
      });
    });
    for (const { r, at } of rowLabels(this.work, heights, -1, y, 22)) {
      const row = rows[r];
      if (row) this.write(this.work.words(row), x(columns.length - 1) + 14, at + 6, 18, SOFT);
    }
  }

  private left(column: number): number {
    return EDGE + SIDE + column * STEP;
  }

  private label(key: string | undefined): string {
    return this.work.variable(key)?.label ?? '';
  }

  /** A setting; the plan's own in copper. */
  private place(step: Step, x: number, y: number): void {
    const [words, own] = [this.work.words(step), this.work.owns(step)];
    this.write(own ? `${words}, the plan` : words, x, y, 23, own ? COPPER : INK);
  }

  private write(words: string, x: number, y: number, size: number, colour: string, serif = false, align: CanvasTextAlign = 'left'): void {
    this.on.font = `${serif ? '600 ' : ''}${size}px ${serif ? this.serif : this.sans}`;
    this.on.fillStyle = colour;
    this.on.textAlign = align;
    this.on.fillText(words, x, y);
  }

  private paragraph(words: string, x: number, y: number, width: number): void {
    let line = '';
    let at = y;
    for (const word of words.split(' ')) {
      this.on.font = `20px ${this.sans}`;
      if (line && this.on.measureText(`${line} ${word}`).width > width) {
        this.write(line, x, at, 20, SOFT);
        at += 25;
        line = word;
      } else line = line ? `${line} ${word}` : word;
    }
    this.write(line, x, at, 20, SOFT);
  }

  private fill(shape: string, colour: string): void {
    this.on.fillStyle = colour;
    this.on.fill(new Path2D(shape));
  }

  private pixels({ rgba, width, height }: Image, x: number, y: number, w: number, h: number): void {
    const own = document.createElement('canvas');
    [own.width, own.height] = [width, height];
    own.getContext('2d')?.putImageData(new ImageData(new Uint8ClampedArray(rgba), width, height), 0, 0);
    this.on.imageSmoothingQuality = 'high';
    this.on.drawImage(own, x, y, w, h);
  }
}
