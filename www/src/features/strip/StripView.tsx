import { useEffect, useRef, useState } from 'preact/hooks';
import { signal } from '@preact/signals';
import type { Plan } from '../../engine/protocol.ts';
import { PATCH, StripWork, type Patch } from './strip.ts';
import { saveStripTable } from './stripFile.ts';
import { saveStripPicture } from './stripPicture.ts';
import { layOut, placeWords, sideProblem, type StripSettings } from './vary.ts';
import { lengthWords, units } from '../../store/settings.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { NotYetWhole, PrintAct } from '../../ui/PrintAct.tsx';
import { StripCurve, type Measure } from './StripCurve.tsx';
import { canTake, StripDetail } from './StripDetail.tsx';
import { StripRecord } from './StripRecord.tsx';

interface Props {
  base: Plan;
  /** Share of the plate per value, paper first. */
  shares: number[];
  settings: StripSettings;
  /** Takes a patch's plan into the plan in hand; without it patches can only be looked at. */
  onTake?: ((plan: Plan, what: string) => void) | undefined;
  /** Fewer numbers and no files: for lessons. */
  compact?: boolean;
}

const silent = signal(0);

/** Patches as they come in, the one under the linen tester, and the curve through them. */
export function StripView({ base, shares, settings, onTake, compact = false }: Props) {
  const problem = sideProblem(base, settings.along) ?? (settings.down && sideProblem(base, settings.down));
  const [work, setWork] = useState<StripWork | null>(null);
  const [chosen, setChosen] = useState(-1);
  const [measure, setMeasure] = useState<Measure>('lightness');
  // As text: what is asked again in new objects is the same strip.
  const wanted = JSON.stringify({ base, settings, shares });
  useEffect(() => {
    const { base, settings, shares } = JSON.parse(wanted) as Pick<Props, 'base' | 'settings' | 'shares'>;
    if (problem || shares.length === 0) return undefined;
    let end = (): void => undefined;
    let here = true;
    layOut(base, shares, settings).then((strip) => {
      if (!here) return;
      const next = new StripWork(base, shares, settings, strip);
      end = () => next.end();
      const first = next.ownPatch ?? next.patches[Math.floor(next.patches.length / 2)];
      setWork(next);
      setChosen(first ? next.patches.indexOf(first) : -1);
      if (first) next.lookAt(first);
    }, () => undefined);
    return () => { here = false; end(); };
  }, [wanted, problem]);
  void (work?.drawn ?? silent).value;
  void units.value;
  if (shares.length === 0) return <p class="finding">As soon as the plan's own numbers are in, its strip can be printed.</p>;
  if (!work) return null;
  const look = (index: number): void => {
    const patch = work.patches[index];
    if (!patch) return;
    setChosen(index);
    work.lookAt(patch);
  };
  const { done } = work;
  return (
    <div class="strip-view" data-compact={compact} data-stale={problem !== null}>
      <p class="strip-progress" role="status">
        {done < work.patches.length ? `${done} of ${work.patches.length} patches have all their grain` : `${work.patches.length} patches, ${lengthWords((PATCH.width_px * PATCH.px_um) / 1000, 1)} wide, every grain computed`}
      </p>
      <Grid work={work} chosen={chosen} onLook={look} onTake={onTake} full={!compact} />
      <div class="strip-below">
        <StripDetail work={work} patch={work.patches[chosen] ?? null} words={patchWords(work, work.patches[chosen])} onTake={onTake} />
        <StripCurve work={work} chosen={chosen} onLook={look} measure={measure} onMeasure={setMeasure} />
      </div>
      {!compact && done < work.patches.length && <NotYetWhole what="all its patches" />}
      {!compact && (
        <p class="acts strip-files">
          <button type="button" class="act" disabled={done < work.patches.length} onClick={() => void saveStripPicture(work, base, measure)}>Save as one picture</button>
          <button type="button" class="act" disabled={done < work.patches.length} onClick={() => saveStripTable(work)}>Save as a table (CSV)</button>
          <PrintAct words="Print" ready={done >= work.patches.length} />
        </p>
      )}
    </div>
  );
}

/** "Wait 60 s, bake 8 min". */
export function patchWords(work: StripWork, patch: Patch | undefined): string {
  return patch ? placeWords(work.base, work.columns[patch.column], work.rows[patch.row]) : '';
}

interface GridProps {
  work: StripWork; chosen: number; onLook: (index: number) => void;
  onTake?: Props['onTake'];
  /** With grain, cut and numbers under a single row. */
  full?: boolean;
}

/** What is seen of the strip beside the patch that is looked at, CSS pixels. */
const BESIDE_PX = 8;

/** The patches as a row or a table; arrow keys go from one to the next. */
export function Grid({ work, chosen, onLook, onTake, full = false }: GridProps) {
  const { columns, rows, patches } = work;
  void work.drawn.value;
  const key = (event: KeyboardEvent): void => {
    const by = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: columns.length, ArrowUp: -columns.length }[event.key];
    if (by === undefined) return;
    const next = chosen + by;
    const across = Math.abs(by) === 1 && Math.floor(next / columns.length) !== Math.floor(chosen / columns.length);
    if (across || next < 0 || next >= patches.length) return;
    event.preventDefault();
    onLook(next);
    (event.currentTarget as HTMLElement).querySelectorAll<HTMLElement>('.strip-patch')[next]?.focus();
  };
  const single = rows[0] === null;
  const record = single && full;
  const room = useRef<HTMLDivElement>(null);
  // A strip that is wider than its room shows the patch that is looked at.
  useEffect(() => {
    const [on, patch] = [room.current, room.current?.querySelectorAll<HTMLElement>('.strip-patch')[chosen]];
    if (!on || !patch) return;
    const [seen, its] = [on.getBoundingClientRect(), patch.getBoundingClientRect()];
    if (its.right > seen.right) on.scrollLeft += its.right - seen.right + BESIDE_PX;
    else if (its.left < seen.left) on.scrollLeft -= seen.left - its.left + BESIDE_PX;
  }, [chosen]);
  return (
    <div ref={room} class="strip-scroll" tabIndex={-1}>
      <table class="strip-table" data-record={record} onKeyDown={key} style={{ '--columns': columns.length }}>
        <caption class="unseen">Test strip: {work.variable(columns[0]?.key)?.label} along{single ? '' : `, ${work.variable(rows[0]?.key)?.label} down`}. Arrow keys go from patch to patch.</caption>
        <thead>
          <tr>
            {(!single || record) && <th scope="col"><span class="unseen">{single ? 'What is shown' : 'Down the side'}</span></th>}
            {columns.map((step, c) => <th key={c} scope="col" data-own={work.owns(step)}>{work.words(step)}</th>)}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, r) => (
            <tr key={r}>
              {record && <th scope="row">print, {lengthWords((PATCH.width_px * PATCH.px_um) / 1000, 1)}</th>}
              {row && <th scope="row" data-own={work.owns(row)}>{work.words(row)}</th>}
              {columns.map((_, c) => {
                const index = r * columns.length + c;
                const patch = patches[index];
                return patch && <td key={c}><PatchButton patch={patch} words={patchWords(work, patch)} chosen={index === chosen} onLook={() => onLook(index)}
                  onTake={onTake && patch.numbers && canTake(work, patch) ? () => onTake(patch.plan, patchWords(work, patch)) : undefined} /></td>;
              })}
            </tr>
          ))}
          {record && <StripRecord work={work} words={(patch) => patchWords(work, patch)} />}
        </tbody>
      </table>
    </div>
  );
}

interface PatchProps { patch: Patch; words: string; chosen: boolean; onLook: () => void; onTake?: (() => void) | undefined }

function PatchButton({ patch, words, chosen, onLook, onTake }: PatchProps) {
  const { numbers, print, wrong, rough } = patch;
  const tone = numbers && wrong === null ? `${rough ? '≈\u202f' : ''}L*\u00a0${numbers.lightness.toFixed(0)}` : '';
  return (
    <div class="strip-cell">
      <button type="button" class="strip-patch" aria-pressed={chosen} tabIndex={chosen ? 0 : -1} onClick={onLook}
        aria-label={`${words}: ${wrong ?? (tone || 'not yet printed')}`} title={wrong ?? words}>
        {print
          ? <PixelCanvas pixels={print} class="strip-print" label={`Printed patch, ${tone}`} />
          : <span class="strip-print strip-flat" style={numbers ? { background: `rgb(${numbers.srgb} ${numbers.srgb} ${numbers.srgb})` } : {}}>{wrong !== null ? 'can’t be' : ''}</span>}
        <span class="strip-tone" aria-hidden="true">{tone}</span>
      </button>
      {onTake && (
        <button type="button" class="act strip-take" tabIndex={chosen ? 0 : -1} aria-label={`Take into the plan: ${words}`} title={`Take into the plan: ${words}`} onClick={onTake}>take</button>
      )}
    </div>
  );
}
