import { computed, signal } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Guide, GuidePaper } from '../../engine/protocol.ts';
import { pool } from '../../engine/scheduler.ts';
import { fileName, offer } from '../../store/files.ts';
import { panel } from '../../store/notifications.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan, stale } from '../../store/results.ts';
import { units } from '../../store/settings.ts';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { Term } from '../glossary/Term.tsx';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { NotYetWhole } from '../../ui/PrintAct.tsx';
import { View } from '../../ui/View.tsx';
import './guides.css?sheet';

const PAPERS: [Exclude<GuidePaper, 'whole'>, string][] = [['a4', 'A4'], ['a3', 'A3'], ['letter', 'Letter']];
/** The paper that was chosen; until then that of the reader’s units. */
const chosen = signal<Exclude<GuidePaper, 'whole'> | null>(null);
const paper = computed(() => chosen.value ?? (units.value === 'us' ? 'letter' : 'a4'));
const mirrored = signal(true);

/** The size of the printed page, as the newest guides have it. A constructed sheet, since the page forbids inline styles. */
const pageSize = new CSSStyleSheet();
document.adoptedStyleSheets.push(pageSize);

function ask(paper: GuidePaper, mirrored: boolean, after = -1): Promise<Guide[]> {
  return pool.askNumbers('guides', paper, mirrored, units.value, after);
}

function save({ svg, file }: Guide, mirrored: boolean): void {
  offer(new Blob([svg], { type: 'image/svg+xml' }), fileName(`-${file}${mirrored ? '' : '-as-printed'}.svg`));
}

/** What to stop out at each step, at true size. */
export function Guides() {
  const [sheets, setSheets] = useState<Guide[] | null>(null);
  const [wrong, setWrong] = useState('');
  const about = soundPlan.value;
  const [on, face, measure] = [paper.value, mirrored.value, units.value];
  useEffect(() => {
    if (!about) return undefined;
    let here = true;
    ask(on, face).then(
      (found) => { if (here) { setSheets(found); setWrong(''); } },
      (error: unknown) => { if (here) setWrong(error instanceof Error ? error.message : String(error)); },
    );
    return () => { here = false; };
  }, [about, on, face, measure]);
  const [first] = sheets ?? [];
  useEffect(() => {
    if (first) pageSize.replaceSync(`@page guides { size: ${first.width_mm}mm ${first.height_mm}mm; margin: 0; }`);
  }, [first]);
  const complain = (error: Error): void => setWrong(error.message);
  return (
    <View name="guides" class="guides" acts={(
      <>
        <div role="radiogroup" aria-label="Paper">
          <Words name="guide-paper" options={PAPERS} chosen={on} onChoose={(word) => { chosen.value = PAPERS.find(([name]) => name === word)?.[0] ?? 'a4'; }} />
        </div>
        <div role="radiogroup" aria-label="Which way round">
          <Words name="guide-face" options={[['copper', 'mirrored, for the copper'], ['paper', 'as printed']]} chosen={face ? 'copper' : 'paper'}
            onChoose={(word) => { mirrored.value = word === 'copper'; }} />
        </div>
        <button type="button" class="act" disabled={!first} onClick={() => print()}>Print them</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'sheet'; }}>bench sheet…</button>
      </>
    )}>
      <div class="guides-about">
        <p>
          A <Term id="guide">sheet for each step</Term>, at true size. Print at 100 % (“actual size”, not fitted to the page) and hold a ruler to the printed one
          before you trust it. {face
            ? 'The guides are mirrored: they show the copper as you look at its bitten face, and the print turns it over.'
            : 'These guides are the right way round, as printed: to look at beside the proof, or to lay face down on the bare copper for a transfer, before the dust.'}
        </p>
        {plan.value.picture.smallest_mm === 0 && (
          <p>Every speck and hair of the picture is in them. What is too narrow for your brush can give way: “Narrowest place”, with the plate’s size in the plan.</p>
        )}
        {stale.value && <p class="problem">The plan can’t be used as it stands: <HeldUp so="these guides are of the last plan that could be calculated" /></p>}
        {wrong && <p class="problem" role="alert">The guides could not be drawn: {wrong}</p>}
        {sheets?.length === 0 && <p>Nothing is stopped out in this plan: all of it bites to the end.</p>}
        {!sheets && !wrong && <p role="status">One moment</p>}
      </div>
      {!sheets && <NotYetWhole what="its outlines" />}
      {sheets?.map((sheet, i) => (
        <Sheet key={sheet.file} sheet={sheet} last={i + 1 === sheets.length}>
          <button type="button" class="quiet" onClick={() => save(sheet, face)}>this sheet as SVG</button>
          {sheet.after_bites !== null && sheet.sheet.replace('A1', '') === '' && (
            <button type="button" class="quiet" onClick={() => {
              ask('whole', face, sheet.after_bites ?? -1).then((all) => {
                // Before the first bite there may be several.
                const whole = all.find(({ file }) => sheet.file === file || sheet.file === `${file}-a1`);
                if (whole) save({ ...whole, file: `${whole.file}-whole` }, face);
              }).catch(complain);
            }}>the whole plate as one SVG</button>
          )}
        </Sheet>
      ))}
    </View>
  );
}

function Sheet({ sheet, last, children }: { sheet: Guide; last: boolean; children: preact.ComponentChildren }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const drawing = new DOMParser().parseFromString(sheet.svg, 'image/svg+xml').documentElement;
    place.current?.replaceChildren(document.importNode(drawing, true));
  }, [sheet.svg]);
  const name = `${sheet.name}, ${sheet.when}${sheet.sheet ? `: sheet ${sheet.sheet}` : ''}`;
  return (
    <figure class="guide" data-last={last} aria-label={name} style={{ '--wide': `${sheet.width_mm}mm`, '--high': `${sheet.height_mm}mm` }}>
      <div ref={place} class="guide-paper" role="img" aria-label={name} />
      <figcaption class="guide-acts">{children}</figcaption>
    </figure>
  );
}
