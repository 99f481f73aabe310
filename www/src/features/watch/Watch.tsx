import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { gazeMoved } from '../../engine/scheduler.ts';
import { lesson, presenting } from '../../store/lessons.ts';
import { panel } from '../../store/notifications.ts';
import { lengthWords } from '../../store/settings.ts';
import { watched, WatchWork, WIDTHS_MM, type Watched } from './watch.ts';
import { Term } from '../glossary/Term.tsx';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { useDrag } from '../../ui/pointer.ts';
import { useStillness } from '../../ui/stillness.ts';
import { sentenceOf, whenOf } from './momentWords.ts';
import { SideCut } from './SideCut.tsx';
import { TimeAxis } from './TimeAxis.tsx';
import './watch.css?sheet';

/** Milliseconds a moment is shown at each pace. */
const PACES = { slow: 480, usual: 200, quick: 80 };
type Pace = keyof typeof PACES;
/** A step of the arrow keys, as a share of the place's width. */
const STEP = 0.25;

/** The plate at work: from above and from the side, moment by moment. */
export function Watch() {
  const of = watched.value;
  useEffect(() => () => {
    gazeMoved();
    // From here one comes back to the lesson.
    if (panel.value !== 'lessons') { lesson.value = null; presenting.value = false; }
  }, []);
  return (
    <Panel name="watch" class="watch">
      {lesson.value !== null && <p class="acts"><button type="button" class="act" onClick={() => { panel.value = 'lessons'; }}>Back to the lesson</button></p>}
      {of ? <Watching of={of} /> : <p class="finding">There is nothing to watch yet.</p>}
    </Panel>
  );
}

function Watching({ of }: { of: Watched }) {
  const work = useMemo(() => new WatchWork(of), [of]);
  useEffect(() => () => work.end(), [work]);
  const still = useStillness();
  const [playing, setPlaying] = useState(false);
  const [pace, setPace] = useState<Pace>('usual');
  useEffect(() => { if (still) setPlaying(false); }, [still]);
  useEffect(() => {
    if (!playing) return undefined;
    let on = true;
    const run = async (): Promise<void> => {
      while (on && work.at.value < work.last) {
        const next = work.at.value + 1;
        await Promise.all([work.there(next), new Promise((done) => { setTimeout(done, PACES[pace]); })]);
        if (!on) return;
        work.see(next);
      }
      if (on) setPlaying(false);
    };
    void run();
    return () => { on = false; };
  }, [playing, pace, work]);

  const at = work.at.value;
  const step = (by: number): void => { setPlaying(false); work.see(at + by); };
  const play = (): void => {
    if (!playing && at >= work.last) work.see(0);
    setPlaying(!playing);
  };
  const ready = work.spans.value.length > 0;
  return (
    <>
      <p class="watch-lead">{of.words}. Every moment is calculated as if you had stopped then.</p>
      {work.missing.value && <p class="warning" role="status">{work.missing.value}</p>}
      {work.wrong.value && <p class="problem" role="alert">{work.wrong.value}</p>}
      <Seen work={work} playing={playing} />
      <TimeAxis work={work} onSee={(to) => { setPlaying(false); work.see(to); }} />
      <div class="watch-acts">
        {!still && (
          <button type="button" class="watch-play" disabled={!ready} onClick={play}>{playing ? 'Pause' : at >= work.last && ready ? 'Again' : 'Play'}</button>
        )}
        <button type="button" class="watch-key" disabled={!ready || at === 0} onClick={() => step(-1)}><span aria-hidden="true">‹ </span>back<span class="unseen"> one moment</span></button>
        <button type="button" class="watch-key" disabled={!ready || at >= work.last} onClick={() => step(1)}>on<span class="unseen"> one moment</span><span aria-hidden="true"> ›</span></button>
        {still ? <p class="watch-still">Your device asks for stillness: nothing moves by itself here.</p> : (
          <span role="radiogroup" aria-label="Pace" class="watch-pace">
            <Words name="watch-pace" options={[['slow', 'slow'], ['usual', 'usual'], ['quick', 'quick']]} chosen={pace} onChoose={(word) => setPace(word as Pace)} />
          </span>
        )}
      </div>
      <Place work={work} />
      <p class="watch-true">
        From above the copper is laid out as it will print; the dashed line is where the <Term id="cut">section</Term> is taken. Strokes of a tool that do not reach the place take no time. The falling grains are drawn far slower than they fall; wiping
        and printing, which the plan gives no time, are drawn from left to right. The bake goes slowly at first, when most of it happens. A grain that is cut
        off its middle seems to hover.
      </p>
      <div class="caution">
        <h3>Caution</h3>
        <p>
          On the screen nothing can go wrong. At the bench rosin dust can explode and make a person allergic for life: closed box, no flame or spark,
          a fitted respirator. The bath stains and burns: gloves, eye protection, moving air. Safety sheets and the shop’s responsible person decide.
        </p>
      </div>
    </>
  );
}

/** The moment from above and from the side, with its sentence. */
function Seen({ work, playing }: { work: WatchWork; playing: boolean }) {
  const glass = useRef<HTMLDivElement>(null);
  const now = work.shown.value;
  const found = now && work.spanOf(now.at);
  const sentence = now && found ? sentenceOf(found.span.stage, found.share, now.moment.numbers) : '';
  // Spoken when a stage begins, and whenever the hand has stepped; never picture after picture.
  const [spoken, setSpoken] = useState('');
  const begins = found?.span.index;
  const newest = useRef(sentence);
  newest.current = sentence;
  useEffect(() => { if (newest.current) setSpoken(newest.current); }, [begins, playing]);
  useEffect(() => {
    if (playing) return undefined;
    const timer = setTimeout(() => setSpoken(sentence), 400);
    return () => clearTimeout(timer);
  }, [sentence, playing]);
  const place = work.place.value;
  const move = (x: number, y: number): void => work.move(x, y, place.width_mm);
  const key = (event: KeyboardEvent): void => {
    const far = place.width_mm * 1000 * (event.shiftKey ? 1 : STEP);
    const by = ({ ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, -far], ArrowDown: [0, far] } as Record<string, [number, number]>)[event.key];
    if (!by) return;
    event.preventDefault();
    move(place.x + by[0], place.y + by[1]);
  };
  const grip = useDrag<{ x: number; y: number }>({
    end: (from, event) => {
      const side = glass.current?.getBoundingClientRect().width;
      if (!side) return;
      const um = (place.width_mm * 1000) / side;
      const [dx, dy] = [event.clientX - from.x, event.clientY - from.y];
      if (Math.hypot(dx, dy) > 4) move(place.x - dx * um, place.y - dy * um);
    },
  });
  return (
    <figure class="watch-seen">
      <div class="watch-above" ref={glass} tabIndex={0} role="group"
        aria-label="The place from above. Arrow keys move it over the plate, with shift by its whole width."
        onKeyDown={key}
        {...grip((event) => ({ x: event.clientX, y: event.clientY }))}>
        <PixelCanvas pixels={now?.moment ?? null} label={`From above, ${lengthWords(place.width_mm, 1)} wide. ${sentence}`} class="watch-picture" />
        <span class="watch-line" aria-hidden="true" />
      </div>
      {now && found ? <SideCut moment={now.moment} work={found.span.stage.work} words={sentence} /> : <div class="watch-empty" />}
      <figcaption>
        <p class="watch-when">{found ? whenOf(found.span.stage, found.share) : 'One moment'}</p>
        <p class="watch-sentence">{sentence}</p>
        <p class="unseen" role="status">{spoken}</p>
      </figcaption>
    </figure>
  );
}

/** How wide the place is, and where. */
function Place({ work }: { work: WatchWork }) {
  const place = work.place.value;
  return (
    <p class="watch-place">
      <span role="radiogroup" aria-label="Width of the place">
        <Words name="watch-width" options={WIDTHS_MM.map((mm) => [String(mm), String(mm)] as const)} chosen={String(place.width_mm)}
          onChoose={(word) => work.move(place.x, place.y, Number(word))} />
        <span class="unit">mm wide</span>
      </span>
      <span class="unit">at {lengthWords(place.x / 1000, 1)} from the left and {lengthWords(place.y / 1000, 1)} from the top of the picture; drag it, or use the arrow keys</span>
    </p>
  );
}

