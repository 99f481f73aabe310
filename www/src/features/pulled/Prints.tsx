import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Image } from '../../engine/protocol.ts';
import { narrow } from '../../store/narrow.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { useDrag } from '../../ui/pointer.ts';
import { useStillness } from '../../ui/stillness.ts';
import { TesterScale } from '../../ui/TesterScale.tsx';
import { FIELD_MM, glass, loupe, moveLoupe, type Which, whole, type Whole } from './looking.ts';
import type { Pulled } from './asking.ts';
import { doing, draw, pulled } from './pulled.ts';

const NAMES: Record<Which, string> = { planned: 'as planned', real: 'off the press' };
/** Time that each print stays when they change by themselves, ms: not faster than twice a second. */
const BLINK_MS = 700;
/** Steps of the arrow keys as parts of the field. */
const STEP = 0.25;

/** The plan's proof and the real one, squared up: side by side or one over the other, under one linen tester. */
export function Prints({ of }: { of: Pulled }) {
  const [over, setOver] = useState(false);
  const { reading } = of;
  // Of one that is looked at again, after another.
  useEffect(() => {
    const now = pulled.value;
    if (now && now.reading === reading && doing.value === '') void draw(now);
  }, [reading]);
  const seen = whole.value?.of === of.reading ? whole.value.seen : null;
  return (
    <section class="pulled-prints" aria-label="The two prints">
      <div role="radiogroup" aria-label="How the two prints lie" class="pulled-ways">
        <Words name="pulled-way" options={[['beside', narrow.value ? 'one below the other' : 'side by side'], ['over', 'one over the other']]} chosen={over ? 'over' : 'beside'} onChoose={(word) => setOver(word === 'over')} />
      </div>
      {of.undrawn && <p class="problem" role="alert">The prints could not be drawn. <button type="button" class="act" onClick={() => void draw(of)}>Try again</button></p>}
      <div class="pulled-bench" data-over={over} style={{ '--ratio': String(ratioOf(of)) }}>
        {over ? <Over of={of} seen={seen} /> : (
          <>
            <Print of={of} seen={seen} which="planned" />
            <Print of={of} seen={seen} which="real" />
          </>
        )}
        <div class="pulled-glasses">
          <Glass of={of} which="planned" />
          <Glass of={of} which="real" />
        </div>
      </div>
    </section>
  );
}

function ratioOf({ subject: { plan: { plate } } }: Pulled): number {
  return plate.width_mm / plate.height_mm;
}

/** One print whole, with the paper round it. */
function Sheet({ source, seen, label, onPress }: { source: CanvasImageSource | null; seen: Whole | null; label: string; onPress?: (event: MouseEvent) => void }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useLayoutEffect(() => {
    const on = canvas.current;
    if (!on || !source || !seen) return;
    [on.width, on.height] = [seen.wide, seen.high];
    on.getContext('2d', { willReadFrequently: true })?.drawImage(source, 0, 0);
  }, [source, seen]);
  return <canvas ref={canvas} class="pulled-paper" role="img" aria-label={label} width={1} height={1} onClick={onPress} />;
}

function Print({ of, seen, which }: { of: Pulled; seen: Whole | null; which: Which }) {
  const frame = useRef<HTMLDivElement>(null);
  const put = (event: MouseEvent): void => {
    const box = frame.current?.getBoundingClientRect();
    if (!box || !seen) return;
    const part = (at: number, from: number, length: number, side_mm: number): number => {
      const all = side_mm + 2 * seen.margin_mm;
      return (((at - from) / length) * all - seen.margin_mm) / side_mm;
    };
    moveLoupe(of, part(event.clientX, box.left, box.width, seen.width_mm), part(event.clientY, box.top, box.height, seen.height_mm));
  };
  const grip = useDrag<true>({ move: (_, event) => put(event) });
  const title = of.subject.title;
  return (
    <figure class="pulled-print" data-which={which}>
      <div ref={frame} class="pulled-frame">
        <Sheet source={seen?.[which] ?? null} seen={seen} onPress={put} label={which === 'planned' ? `The proof of ${title} as planned` : `The real proof of ${title}, squared up, its light evened`} />
        {seen && (
          <div class="pulled-place" style={lensPlace(seen)}>
            <span class="lens-mark" aria-hidden="true" />
            <button type="button" class="pulled-lens" aria-label={`Linen tester on the print ${NAMES[which]}: arrow keys move it on both`}
              onKeyDown={(event) => stepLoupe(of, event)} {...grip(() => true)} />
          </div>
        )}
      </div>
      <figcaption>{which === 'planned' ? 'The proof as planned' : 'The proof off the press'}</figcaption>
    </figure>
  );
}

function lensPlace({ width_mm, height_mm, margin_mm }: Whole): Record<string, string> {
  const { u, v } = loupe.value;
  const [all, tall] = [width_mm + 2 * margin_mm, height_mm + 2 * margin_mm];
  return { '--x': `${((100 * (margin_mm + u * width_mm)) / all).toFixed(3)}%`, '--y': `${((100 * (margin_mm + v * height_mm)) / tall).toFixed(3)}%`, '--field': `${((100 * FIELD_MM) / all).toFixed(3)}%` };
}

function stepLoupe(of: Pulled, event: KeyboardEvent): void {
  const { width_mm, height_mm } = of.subject.plan.plate;
  const far = FIELD_MM * (event.shiftKey ? 4 : STEP);
  const move = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, -far], ArrowDown: [0, far] }[event.key];
  if (!move) return;
  event.preventDefault();
  moveLoupe(of, loupe.value.u + (move[0] ?? 0) / width_mm, loupe.value.v + (move[1] ?? 0) / height_mm);
}

/** Both in one place: the real one, and the plan's for as long as it is held, or by turns. */
function Over({ of, seen }: { of: Pulled; seen: Whole | null }) {
  const [held, setHeld] = useState(false);
  const [turns, setTurns] = useState(false);
  const [turned, setTurned] = useState(false);
  const still = useStillness();
  const blinking = turns && !still;
  useEffect(() => {
    setTurned(false);
    if (!blinking) return undefined;
    const timer = setInterval(() => setTurned((before) => !before), BLINK_MS);
    return () => clearInterval(timer);
  }, [blinking]);
  const which: Which = held || turned ? 'planned' : 'real';
  const hold = (event: KeyboardEvent, down: boolean): void => {
    if (event.key !== ' ' && event.key !== 'Enter') return;
    event.preventDefault();
    setHeld(down);
  };
  return (
    <figure class="pulled-print pulled-over">
      <button type="button" class="pulled-frame pulled-hold" aria-pressed={which === 'planned'} aria-label={`One over the other, ${NAMES[which]}: hold to see the proof as planned`}
        onPointerDown={() => setHeld(true)} onPointerUp={() => setHeld(false)} onPointerLeave={() => setHeld(false)} onPointerCancel={() => setHeld(false)}
        onKeyDown={(event) => hold(event, true)} onKeyUp={(event) => hold(event, false)} onBlur={() => setHeld(false)} onContextMenu={(event) => event.preventDefault()}>
        {(['real', 'planned'] as const).map((one) => (
          <span key={one} class="pulled-layer" data-shown={one === which}><Sheet source={seen?.[one] ?? null} seen={seen} label={`The proof of ${of.subject.title} ${NAMES[one]}`} /></span>
        ))}
      </button>
      <figcaption>
        <span class="pulled-which">{which === 'planned' ? 'The proof as planned' : 'The proof off the press'}</span>
        <span class="unit">press and hold for the plan’s</span>
        {!still && <button type="button" class="quiet" aria-pressed={turns} onClick={() => setTurns(!turns)}>by turns</button>}
      </figcaption>
    </figure>
  );
}

function Glass({ of, which }: { of: Pulled; which: Which }) {
  const pixels = glass.value[which];
  return (
    <figure class="pulled-glass">
      <div class="tester-glass" tabIndex={0} role="group" onKeyDown={(event) => stepLoupe(of, event)} aria-label={`Linen tester, ${NAMES[which]}. Arrow keys move it on both prints.`}>
        <div class="tester-field">
          {pixels instanceof OffscreenCanvas ? <Field of={pixels} label={`The print ${NAMES[which]} under the tester`} />
            : <PixelCanvas pixels={pixels as Image | null} class="tester-picture" label={`The print ${NAMES[which]} under the tester`} />}
        </div>
        <TesterScale field_um={FIELD_MM * 1000} />
      </div>
      <figcaption>{NAMES[which]}</figcaption>
    </figure>
  );
}

function Field({ of, label }: { of: OffscreenCanvas; label: string }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useLayoutEffect(() => {
    const on = canvas.current;
    if (!on) return;
    [on.width, on.height] = [of.width, of.height];
    on.getContext('2d', { willReadFrequently: true })?.drawImage(of, 0, 0);
  }, [of]);
  return <canvas ref={canvas} class="tester-picture" role="img" aria-label={label} width={1} height={1} />;
}
