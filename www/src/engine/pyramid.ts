import type { Job } from './workerPool.ts';
import type { Grey } from './protocol.ts';
import { Level, Plane, greyed } from './levels.ts';

/** Where the eye is, in µm on the print, and what it can resolve there. */
export interface Viewport { left: number; top: number; right: number; bottom: number; focusX: number; focusY: number; px_um: number }

/**
 * One base tile, µm, and the pixels its grain is reckoned at. It is printed in strips from its head to its foot, so that a tall one
 * takes no more room, and feels less round it for what it shows.
 */
export const TILE_WIDTH_UM = 9600;
const TILE_HEIGHT_UM = 19_200;
const GRAIN_UM = 5;
/** Pixel sizes for the base image; larger plates and small devices take a coarser one. All divide the tile. */
const BASES_UM = [50, 80, 100, 160, 200];
/** Finer levels for looking closer. Each tile has 320 pixels a side. */
const FINER_UM = [25, 10, 5, 2.5];
const FINE_TILE_PX = 320;
const MOST_FINE_TILES = 240;
/** Tiles of the base image kept as canvases: whole, it would take 48 MB that are only looked at from near by. */
const MOST_BASE_CANVASES = 128;
/** Tiles in another worker's sector count as this much farther. */
const STRANGE = 3;
/** Pixel size of the first true pass. */
const FIRST_UM = 200;

interface FineTile { state: 'asked' | 'done'; canvas: OffscreenCanvas | null; left: number; top: number; um: number; used: number }

/** The printed picture in all the finenesses it has been reckoned in so far. */
export class Pyramid {
  readonly width_um: number;
  readonly height_um: number;
  /** Pixel size of the base image, µm, and how many pixels it has. */
  readonly base_um: number;
  readonly width: number;
  readonly height: number;
  private readonly plane: Plane;
  readonly firstWidth: number;
  readonly firstHeight: number;
  readonly tiles: number;
  tilesDone = 0;
  private readonly columns: number;
  private readonly rows: number;
  private readonly base: ('no' | 'asked' | 'done')[];
  private readonly levels: Level[] = [];
  private readonly fine = new Map<string, FineTile>();
  /** Canvases of tiles of the base image, those drawn longest ago first. */
  private readonly baseCanvases = new Map<number, OffscreenCanvas>();
  private clock = 0;
  private sectors = { key: '', of: new Uint8Array(0) };

  constructor(width_mm: number, height_mm: number, readonly changed: () => void, most_px: number) {
    this.width_um = width_mm * 1000;
    this.height_um = height_mm * 1000;
    const area = this.width_um * this.height_um;
    this.base_um = BASES_UM.find((um) => area / (um * um) <= most_px) ?? 200;
    this.width = Math.ceil(this.width_um / this.base_um);
    this.height = Math.ceil(this.height_um / this.base_um);
    this.firstWidth = Math.max(8, Math.round(this.width_um / Math.max(FIRST_UM, this.base_um)));
    this.firstHeight = Math.max(8, Math.round(this.height_um / Math.max(FIRST_UM, this.base_um)));
    this.plane = new Plane(this.width, this.height);
    this.columns = Math.ceil(this.width_um / TILE_WIDTH_UM);
    this.rows = Math.ceil(this.height_um / TILE_HEIGHT_UM);
    this.tiles = this.columns * this.rows;
    this.base = new Array<'no' | 'asked' | 'done'>(this.tiles).fill('no');
    for (let shrink = 2; shrink <= 8; shrink *= 2) {
      this.levels.push(new Level(this.base_um * shrink, Math.ceil(this.width / shrink), Math.ceil(this.height / shrink)));
    }
  }

  /** The pixels of the base image, row by row. */
  get grey(): Uint8Array {
    return this.plane.grey;
  }

  /** Same plate size: what is on the sheet may stand until the new print is there. */
  fits(width_mm: number, height_mm: number): boolean {
    return this.width_um === width_mm * 1000 && this.height_um === height_mm * 1000;
  }

  /** All grain is to be reckoned anew; the old print stays visible under it. */
  renew(): void {
    this.base.fill('no');
    this.fine.clear();
    this.tilesDone = 0;
  }

  get done(): boolean {
    return this.tilesDone === this.tiles;
  }

  /** Lays the first true pass under everything. */
  setFirst(grey: Uint8Array): void {
    const first = greyed(grey, this.firstWidth, this.firstHeight);
    for (const level of this.levels) level.lay(first);
    // The saved proof waits for every tile, so the plain array needs no first pass.
    this.changed();
  }

  /**
   * The next piece worth reckoning: sharp grain where the eye is, then the whole plate outwards.
   * Worker `lane` of `lanes` prefers its own sector round the eye, so that it finds the ground it
   * has laid for one tile again under the next. Not `everywhere`, only what the eye can make out is reckoned.
   */
  nextJob(gaze: Viewport, lane: number, lanes: number, everywhere = true): Job | null {
    return this.nextFine(gaze) ?? this.nextBase(gaze, lane, lanes, everywhere);
  }

  private nextFine(gaze: Viewport): Job | null {
    const um = this.finerThan(gaze.px_um);
    if (um === null) return null;
    const side = um * FINE_TILE_PX;
    let best: { column: number; row: number; far: number } | null = null;
    this.eachVisible(gaze, side, side, (column, row) => {
      if (this.fine.has(`${um}/${column}/${row}`)) return;
      const far = Math.hypot((column + 0.5) * side - gaze.focusX, (row + 0.5) * side - gaze.focusY);
      if (!best || far < best.far) best = { column, row, far };
    });
    if (!best) return null;
    const { column, row } = best as { column: number; row: number };
    const key = `${um}/${column}/${row}`;
    const tile: FineTile = { state: 'asked', canvas: null, left: column * side, top: row * side, um, used: this.clock };
    this.fine.set(key, tile);
    this.forget();
    return {
      tile: [column, row, side, side, um, Math.min(um, GRAIN_UM), 0],
      done: ({ grey, width, height }) => {
        tile.canvas = greyed(grey, width, height);
        tile.state = 'done';
        this.changed();
      },
      dropped: () => undefined,
      lost: () => { this.fine.delete(key); },
    };
  }

  /**
   * Which worker's sector round the eye each tile lies in, in equal shares: tiles by their direction from
   * the eye, counted off. With shares of unlike size the worker that is done first would go on between
   * the tiles of another, and both would lay the same ground.
   */
  private sectorsRound(focusX: number, focusY: number, lanes: number): Uint8Array {
    const key = `${focusX}/${focusY}/${lanes}`;
    if (this.sectors.key === key) return this.sectors.of;
    const turn = Float64Array.from({ length: this.tiles }, (_, i) => {
      const y = (Math.floor(i / this.columns) + 0.5) * TILE_HEIGHT_UM - focusY;
      return Math.atan2(y, ((i % this.columns) + 0.5) * TILE_WIDTH_UM - focusX);
    });
    const of = new Uint8Array(this.tiles);
    [...turn.keys()].sort((a, b) => (turn[a] ?? 0) - (turn[b] ?? 0)).forEach((tile, rank) => { of[tile] = Math.floor((rank * lanes) / this.tiles); });
    this.sectors = { key, of };
    return of;
  }

  private nextBase(gaze: Viewport, lane: number, lanes: number, everywhere: boolean): Job | null {
    // From farther off, the first pass shows as much.
    if (!everywhere && gaze.px_um >= FIRST_UM) return null;
    const sectors = this.sectorsRound(gaze.focusX, gaze.focusY, lanes);
    let best = -1;
    let nearest = Infinity;
    for (let row = 0; row < this.rows; row++) {
      for (let column = 0; column < this.columns; column++) {
        const index = row * this.columns + column;
        if (this.base[index] !== 'no') continue;
        const x = (column + 0.5) * TILE_WIDTH_UM;
        const y = (row + 0.5) * TILE_HEIGHT_UM;
        const seen = x > gaze.left - TILE_WIDTH_UM && x < gaze.right + TILE_WIDTH_UM && y > gaze.top - TILE_HEIGHT_UM && y < gaze.bottom + TILE_HEIGHT_UM;
        if (!seen && !everywhere) continue;
        const [dx, dy] = [x - gaze.focusX, y - gaze.focusY];
        const far = Math.hypot(dx, dy) * (sectors[index] === lane ? 1 : STRANGE) + (seen ? 0 : 1e7);
        if (far < nearest) { nearest = far; best = index; }
      }
    }
    if (best < 0) return null;
    const column = best % this.columns;
    const row = Math.floor(best / this.columns);
    this.base[best] = 'asked';
    const finish = (): void => { this.base[best] = 'done'; this.tilesDone += 1; this.changed(); };
    return {
      tile: [column, row, TILE_WIDTH_UM, TILE_HEIGHT_UM, this.base_um, GRAIN_UM, this.levels.length],
      done: (tile) => { this.layBase(column, row, tile); finish(); },
      dropped: finish,
      lost: () => { this.base[best] = 'no'; },
    };
  }

  private layBase(column: number, row: number, { grey, width, height, halves = [] }: Grey): void {
    const x = (column * TILE_WIDTH_UM) / this.base_um;
    const y = (row * TILE_HEIGHT_UM) / this.base_um;
    this.plane.lay({ grey, width, height, left: x, top: y });
    this.baseCanvases.delete(row * this.columns + column);
    for (const [i, half] of halves.entries()) {
      const shrink = 2 ** (i + 1);
      this.levels[i]?.put({ ...half, left: Math.floor(x / shrink), top: Math.floor(y / shrink) });
    }
  }

  /** The finer level that this resolution asks for, or null when the base image is fine enough. */
  private finerThan(px_um: number): number | null {
    if (px_um > this.base_um * 0.8) return null;
    return FINER_UM.find((um) => um <= px_um * 1.3) ?? FINER_UM.at(-1) ?? null;
  }

  private eachVisible(gaze: Viewport, width: number, height: number, visit: (column: number, row: number) => void): void {
    const fromColumn = Math.max(0, Math.floor(gaze.left / width));
    const toColumn = Math.min(Math.ceil(this.width_um / width) - 1, Math.floor(gaze.right / width));
    const fromRow = Math.max(0, Math.floor(gaze.top / height));
    const toRow = Math.min(Math.ceil(this.height_um / height) - 1, Math.floor(gaze.bottom / height));
    for (let row = fromRow; row <= toRow; row++) {
      for (let column = fromColumn; column <= toColumn; column++) visit(column, row);
    }
  }

  /** Lets go of the fine tiles not looked at for longest. */
  private forget(): void {
    if (this.fine.size <= MOST_FINE_TILES) return;
    const oldest = [...this.fine.entries()].filter(([, tile]) => tile.state === 'done').sort((a, b) => a[1].used - b[1].used);
    for (const [key] of oldest.slice(0, this.fine.size - MOST_FINE_TILES)) this.fine.delete(key);
  }

  /** Draws what there is into a context whose unit is µm on the print. */
  draw(context: CanvasRenderingContext2D, gaze: Viewport): void {
    const level = [...this.levels].reverse().find((one) => one.um <= gaze.px_um * 1.2) ?? this.levels[0];
    if (!level) return;
    context.imageSmoothingEnabled = true;
    context.imageSmoothingQuality = 'high';
    const canvas = level.drawn();
    context.drawImage(canvas, 0, 0, canvas.width * level.um, canvas.height * level.um);
    if (level === this.levels[0] && gaze.px_um * 1.2 < level.um) this.drawBase(context, gaze);
    const um = this.finerThan(gaze.px_um);
    if (um === null) return;
    this.clock += 1;
    // Coarser fine tiles first, so that a zoom shows the best there is while the sharp ones come.
    for (const one of FINER_UM.filter((fine) => fine >= um)) {
      this.eachVisible(gaze, one * FINE_TILE_PX, one * FINE_TILE_PX, (column, row) => {
        const tile = this.fine.get(`${one}/${column}/${row}`);
        if (!tile?.canvas) return;
        tile.used = this.clock;
        context.drawImage(tile.canvas, tile.left, tile.top, tile.canvas.width * one, tile.canvas.height * one);
      });
    }
  }

  /** Draws the visible tiles of the base image that have been reckoned. */
  private drawBase(context: CanvasRenderingContext2D, gaze: Viewport): void {
    let drawn = 0;
    this.eachVisible(gaze, TILE_WIDTH_UM, TILE_HEIGHT_UM, (column, row) => {
      const index = row * this.columns + column;
      if (this.base[index] !== 'done') return;
      const canvas = this.baseCanvases.get(index) ?? this.baseCanvas(column, row);
      this.baseCanvases.delete(index);
      this.baseCanvases.set(index, canvas);
      drawn += 1;
      context.drawImage(canvas, column * TILE_WIDTH_UM, row * TILE_HEIGHT_UM, canvas.width * this.base_um, canvas.height * this.base_um);
    });
    for (const index of this.baseCanvases.keys()) {
      if (this.baseCanvases.size <= Math.max(drawn, MOST_BASE_CANVASES)) break;
      this.baseCanvases.delete(index);
    }
  }

  private baseCanvas(column: number, row: number): OffscreenCanvas {
    const [across, down] = [TILE_WIDTH_UM / this.base_um, TILE_HEIGHT_UM / this.base_um];
    const [x, y] = [column * across, row * down];
    const [width, height] = [Math.min(across, this.width - x), Math.min(down, this.height - y)];
    return greyed(this.plane.part({ left: x, top: y, width, height }).grey, width, height);
  }
}
