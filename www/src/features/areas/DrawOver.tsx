import { effect, signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { AreaShape } from '../../engine/protocol.ts';
import { limitsOf, toStep } from '../../store/catalogue.ts';
import { pool } from '../../engine/scheduler.ts';
import { drawing, type ProofMoves } from '../../store/viewState.ts';
import { tell } from '../../store/notifications.ts';
import { plan } from '../../store/plan.ts';
import { conversion, light } from '../../store/settings.ts';
import { movedByKey, placeMm } from '../../ui/onProof.ts';
import { view } from '../../ui/sheetView.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Entry } from '../../ui/Entry.tsx';
import { placeOn, pointing } from '../../ui/pointer.ts';
import { areaInHand, areas, away, brushMm, draw, fresh, inHand, placed, setArea, shapeOf, thinned, tool, workWords, type Tool } from './hand.ts';
import { lay, layAxis } from './paint.ts';
import './areas.css?sheet';

type Place = [number, number];

/** A tap this near the first point closes an outline, css pixels. */
const CLOSE_PX = 12;
/** Opacity of the area in hand and of the others. */
const STRONG = 0.5;
const FAINT = 0.22;

/** Points of an outline that is not closed yet, and the keyboard's place, mm. */
const open = signal<Place[]>([]);
const keyPlace = signal<Place | null>(null);

/** Fills, closes or ends what has been begun. */
function finish(): void {
  const points = open.value;
  open.value = [];
  if (tool.value === 'brush' && points.length) void draw([shapeOf('brush', points)]);
  if ((tool.value === 'outline' || tool.value === 'curve') && points.length >= 3) void draw([shapeOf(tool.value, points)]);
}

async function fill([x, y]: Place): Promise<void> {
  const rings = await pool.ask('region', x, y).catch(() => []);
  if (!rings.length) { tell('Nothing to fill there.'); return; }
  const takes = away.value;
  await draw([
    ...rings.filter((ring) => !ring.hole).map((ring) => shapeOf('outline', ring.points_mm, takes)),
    // Islands inside the holes come along with their own rings, after them.
    ...rings.filter((ring) => ring.hole).map((ring) => shapeOf('outline', ring.points_mm, !takes)),
  ]);
}

/** Draws a freehand line with the tool it was begun with. */
async function drawLine(kind: AreaShape['kind'], points: Place[], tolerance_mm: number): Promise<void> {
  const shape = shapeOf(kind, []);
  const line = await thinned(points, tolerance_mm);
  if (kind === 'brush' || line.length >= 3) await draw([{ ...shape, points_mm: shapeOf(kind, line).points_mm }]);
}

function turn([x0, y0]: Place, [x1, y1]: Place): void {
  const at = areaInHand();
  const axis = [x0, y0, x1, y1].map(placed);
  if (at === null || (axis[0] === axis[2] && axis[1] === axis[3])) return;
  setArea(at, 'direction', { work: 'split', axis_mm: axis });
}

/** The tools, and a canvas over the proof that they draw on; the plate is reckoned when the hand lifts. */
export function DrawOver({ pan, zoom }: ProofMoves) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const layer = useRef<{ redraw: () => void }>({ redraw: () => undefined });

  useEffect(() => {
    const on = canvas.current;
    const context = on?.getContext('2d');
    if (!on || !context) return undefined;
    const heap = document.createElement('canvas');
    const heapContext = heap.getContext('2d');
    if (!heapContext) return undefined;
    const copper = (): string => getComputedStyle(on).getPropertyValue('--copper').trim() || '#94431a';
    let stroke: Place[] = [];
    /** Strokes that are drawn and not yet in the plan. */
    const settling = new Set<Place[]>();
    let asked = 0;
    const size = (): DOMRect => on.getBoundingClientRect();

    /** Puts a context into mm on the print, as the proof lies now. */
    const inMm = (of: CanvasRenderingContext2D): void => {
      const s = view.value.scale * 1000 * devicePixelRatio;
      of.setTransform(s, 0, 0, s, on.width / 2 - view.value.x * view.value.scale * devicePixelRatio, on.height / 2 - view.value.y * view.value.scale * devicePixelRatio);
    };
    const px = (): number => 1 / (view.value.scale * 1000);

    const drawAll = (): void => {
      asked = 0;
      const { width, height } = size();
      // Taken off the page it has no size, and is told so.
      if (width * height === 0) return;
      for (const one of [on, heap]) {
        const [w, h] = [Math.round(width * devicePixelRatio), Math.round(height * devicePixelRatio)];
        if (one.width !== w || one.height !== h) { one.width = w; one.height = h; }
      }
      context.setTransform(1, 0, 0, 1, 0, 0);
      context.clearRect(0, 0, on.width, on.height);
      const colour = copper();
      const held = areaInHand();
      areas().forEach((area, i) => {
        // Each area on a sheet of its own first, so that what is taken away is taken from it alone.
        heapContext.setTransform(1, 0, 0, 1, 0, 0);
        heapContext.clearRect(0, 0, heap.width, heap.height);
        inMm(heapContext);
        for (const shape of area.shapes) lay(heapContext, shape, colour);
        context.globalAlpha = i === held ? STRONG : FAINT;
        context.drawImage(heap, 0, 0);
        context.globalAlpha = 1;
      });
      inMm(context);
      const now = held === null ? undefined : areas()[held];
      if (now?.work === 'split') layAxis(context, now, px(), colour);
      drawOpen(colour);
      for (const one of [...settling, stroke]) drawStroke(one, 0);
    };
    layer.current.redraw = () => { asked ||= requestAnimationFrame(drawAll); };

    /** What is begun but not closed, and where the keyboard stands. */
    const drawOpen = (colour: string): void => {
      const points = open.value;
      context.strokeStyle = context.fillStyle = colour;
      context.lineWidth = 1.5 * px();
      context.beginPath();
      points.forEach(([x, y], i) => { if (i) context.lineTo(x, y); else context.moveTo(x, y); });
      context.stroke();
      for (const [i, [x, y]] of points.entries()) {
        context.beginPath();
        context.arc(x, y, (i ? 2.5 : 5) * px(), 0, 7);
        if (i) context.fill(); else context.stroke();
      }
      if (keyPlace.value) {
        const [x, y] = keyPlace.value;
        for (const [style, wide] of [['#fff', 4], [colour, 1.75]] as const) {
          context.strokeStyle = style;
          context.lineWidth = wide * px();
          context.beginPath();
          context.moveTo(x - 9 * px(), y); context.lineTo(x + 9 * px(), y);
          context.moveTo(x, y - 9 * px()); context.lineTo(x, y + 9 * px());
          context.stroke();
        }
      }
    };
    /** A stroke from one of its points on: of the one under the hand only what is new is drawn. */
    const drawStroke = (points: Place[], from: number): void => {
      inMm(context);
      const isBrush = tool.value === 'brush';
      context.strokeStyle = isBrush && away.value ? 'rgba(255,255,255,0.75)' : copper();
      context.lineWidth = isBrush ? brushMm.value : 1.5 * px();
      context.lineCap = context.lineJoin = 'round';
      context.beginPath();
      points.slice(from).forEach(([x, y], i) => { if (i) context.lineTo(x, y); else { context.moveTo(x, y); context.lineTo(x + 1e-4, y); } });
      context.stroke();
    };

    const mm = (here: { x: number; y: number }): Place => {
      const { width, height } = size();
      return placeMm(here, width, height);
    };
    const dragged = (here: { x: number; y: number }, event: PointerEvent): void => {
      if (tool.value === 'fill') return;
      if (tool.value === 'direction') {
        stroke = [stroke[0] ?? mm(here), mm(here)];
        layer.current.redraw();
        return;
      }
      const drawn = stroke.length;
      // A fast pen sends several places to a frame.
      const all = event.getCoalescedEvents?.() ?? [];
      for (const one of all.length ? all : [event]) stroke.push(mm(placeOn(on, one)));
      drawStroke(stroke, Math.max(0, drawn - 1));
      performance.mark('stroke');
    };
    const tapped = (here: { x: number; y: number }): void => {
      const place = mm(here);
      if (tool.value === 'brush') void draw([shapeOf('brush', [place])]);
      else if (tool.value === 'fill') void fill(place);
      else if (tool.value !== 'direction') {
        const first = open.value[0];
        const near = first && Math.hypot(first[0] - place[0], first[1] - place[1]) / px() < CLOSE_PX;
        if (near && open.value.length >= 3) finish();
        else open.value = [...open.value, place];
      }
    };
    const dropped = (drawn: Place[]): void => {
      if (drawn.length < 2 || tool.value === 'fill') return;
      if (tool.value === 'direction') {
        turn(drawn[0] ?? [0, 0], drawn.at(-1) ?? [0, 0]);
        return;
      }
      settling.add(drawn);
      void drawLine(tool.value, drawn, tool.value === 'curve' ? Math.max(0.5, 4 * px()) : Math.max(0.08, 0.6 * px()))
        .finally(() => { settling.delete(drawn); layer.current.redraw(); });
    };
    const ended = (what?: () => void): void => {
      what?.();
      stroke = [];
      layer.current.redraw();
    };
    const letGo = pointing(on, {
      press: (here) => {
        keyPlace.value = null;
        stroke = tool.value === 'fill' ? [] : [mm(here)];
        if (tool.value === 'brush') drawStroke(stroke, 0);
      },
      drag: (here, _, event) => dragged(here, event),
      tap: (here) => ended(() => tapped(here)),
      drop: () => ended(() => dropped(stroke)),
      // Of two fingers the first drew nothing: they move the sheet.
      leave: () => ended(),
      pan,
      zoom: (factor, x, y) => { const { width, height } = size(); zoom(factor, x - width / 2, y - height / 2); },
    });
    const watch = new ResizeObserver(() => layer.current.redraw());
    watch.observe(on);
    const stop = effect(() => {
      void [plan.value.areas, view.value, inHand.value, open.value, keyPlace.value, tool.value, light.value];
      layer.current.redraw();
    });
    // On a phone the proof may be far up the page.
    on.closest('.stage')?.scrollIntoView({ block: 'nearest' });
    on.focus({ preventScroll: true });
    return () => { letGo(); watch.disconnect(); stop(); cancelAnimationFrame(asked); open.value = []; keyPlace.value = null; };
  }, [pan, zoom]);

  const key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey) return;
    const by = movedByKey(event);
    const here = keyPlace.value ?? [placed(view.value.x / 1000), placed(view.value.y / 1000)];
    if (by) keyPlace.value = [placed(here[0] + by[0]), placed(here[1] + by[1])];
    else if (event.key === ' ' && tool.value === 'fill') void fill(here);
    else if (event.key === ' ') { keyPlace.value = here; open.value = [...open.value, here]; }
    else if (event.key === 'Enter') {
      if (tool.value === 'direction' && open.value.length >= 2) {
        turn(open.value[0] ?? here, open.value.at(-1) ?? here);
        open.value = [];
      } else finish();
    } else if (event.key === 'Backspace') open.value = open.value.slice(0, -1);
    else if (event.key === 'Escape') {
      if (open.value.length) open.value = [];
      else drawing.value = false;
    } else return;
    event.preventDefault();
  };

  const choose = (next: Tool): void => { open.value = []; tool.value = next; };
  const at = areaInHand();
  const now = at === null ? null : areas()[at];
  const tools: [Tool, string][] = [['brush', 'brush'], ['outline', 'outline'], ['curve', 'curve'], ['fill', 'fill']];
  if (now?.work === 'split') tools.push(['direction', 'direction']);
  const where = keyPlace.value;
  const { to, unit } = conversion('mm', 2);
  return (
    <div class="draw-over">
      {/* biome-ignore lint/a11y/noInteractiveElementToNoninteractiveRole: the canvas takes all keys while one draws, and is nothing by itself */}
      <canvas ref={canvas} tabIndex={0} role="application" onKeyDown={key} data-tool={tool.value}
        aria-label="Drawing areas on the proof, the right way round as printed. Arrow keys move the place by 1 mm, with Shift by 10 mm, with Alt by 0.1 mm; Space sets a point, Enter ends the stroke or closes the outline, Backspace takes back a point, Escape leaves. The wheel goes closer, the middle button moves the sheet." />
      <div class="draw-tools" role="toolbar" aria-label="Drawing tools">
        <div role="radiogroup" aria-label="Tool"><Words name="tool" options={tools} chosen={tool.value} onChoose={(word) => choose(word as Tool)} /></div>
        <div role="radiogroup" aria-label="Effect of a stroke">
          <Words name="away" options={[['add', 'add'], ['away', 'take away']]} chosen={away.value ? 'away' : 'add'} onChoose={(word) => { away.value = word === 'away'; }} />
        </div>
        {tool.value === 'brush' && (
          <div class="draw-width">
            <Entry label="Width of the brush" unseen unit="mm" value={brushMm.value} {...limitsOf('areas.brush_mm')} onSet={(mm) => { brushMm.value = toStep(limitsOf('areas.brush_mm'), mm); }} />
          </div>
        )}
        <button type="button" class="quiet" onClick={() => {
          tool.value = 'brush'; away.value = false; brushMm.value = 0.6; inHand.value = null;
          fresh.value = { ...fresh.value, work: 'hold', value: 0, feather_mm: 0 };
        }}>white line</button>
        {open.value.length > 0 && <button type="button" class="act" onClick={finish}>{tool.value === 'brush' ? 'end stroke' : 'close outline'}</button>}
        <button type="button" class="act" onClick={() => { drawing.value = false; }}>done</button>
        <p class="draw-said" aria-live="polite">
          {at === null || !now ? `new area, ${workWords(fresh.value)}` : `${now.name || `area ${at + 1}`}, ${workWords(now)}`}
          {where && <> · <span class="number">{where.map((mm) => to(mm).toFixed(2)).join(', ')}</span> <span class="unit">{unit}</span></>}
          {open.value.length > 0 && <> · {open.value.length} {open.value.length === 1 ? 'point' : 'points'}</>}
        </p>
      </div>
    </div>
  );
}
