import './record.css?sheet';
import paper from './recordPaper.css?sheet';
import { forPrint, forWantOfRoom, LEFT_OUT, onPaper } from '../../ui/oneSide.ts';

/*
 * The record is one side of paper, to lie in the drawer with the plate. First type and photographs give way; then the
 * oldest photographs are left out, and the oldest notes: all of them stand in the page and in its file. What ran and
 * which impressions there are is never left out, since an impression that is on no list is one nobody can vouch for:
 * where those alone need more than a side, a second page follows with its own head.
 */

/** Type in points and height of the photographs in mm, from the most legible to the least. */
const STEPS = [[10, 48], [9.5, 44], [9, 40], [9, 34], [8.5, 34], [8.5, 28], [8, 28], [8, 24]] as const;

/** Photographs that stay as long as there is a note that can go. */
const LAST_PHOTOGRAPHS = 3;

/** Notes that stay where there is another page anyway. */
const LAST_NOTES = 6;

forPrint(paper);

/** Fits a record on its side; `.record-left` says what could not. */
export function fitOnOneSide(sheet: HTMLElement): void {
  const said = sheet.querySelector<HTMLElement>('.record-left');
  const photographs = [...sheet.querySelectorAll('.record-prints [data-old]')];
  const notes = [...sheet.querySelectorAll('.record-note')];
  const out = (all: Element[]): number => all.filter((one) => one.hasAttribute(LEFT_OUT)).length;
  const say = (): void => { if (said) said.textContent = leftOut(out(photographs), out(notes)); };
  for (const one of [...photographs, ...notes]) one.removeAttribute(LEFT_OUT);
  delete sheet.dataset.long;
  onPaper(sheet, paper, (fits) => {
    say();
    for (const [type_pt, picture_mm] of STEPS) {
      sheet.style.setProperty('--type', `${type_pt}pt`);
      sheet.style.setProperty('--picture', `${picture_mm}mm`);
      if (fits()) return;
    }
    const keep = Math.max(0, photographs.length - LAST_PHOTOGRAPHS);
    for (const one of [...photographs.slice(0, keep), ...notes, ...photographs.slice(keep)]) {
      one.setAttribute(LEFT_OUT, '');
      say();
      if (!fits()) continue;
      // Where one more finds room beside the others after all, it comes back.
      for (const back of photographs.filter((photograph) => photograph.hasAttribute(LEFT_OUT)).reverse()) {
        back.removeAttribute(LEFT_OUT);
        say();
        if (fits()) continue;
        back.setAttribute(LEFT_OUT, '');
        break;
      }
      say();
      return;
    }
    // What can't be left out needs another page: then it is legible again, and there is room for the newest of the rest.
    sheet.dataset.long = 'true';
    sheet.style.setProperty('--type', '9pt');
    sheet.style.setProperty('--picture', '34mm');
    for (const one of [...photographs.slice(keep), ...notes.slice(-LAST_NOTES)]) one.removeAttribute(LEFT_OUT);
    say();
  });
}

/** What a side of paper could not hold, and where it stands. */
export function leftOut(photographs: number, notes: number): string {
  const count = (many: number, one: string): string => (many === 0 ? '' : many === 1 ? `the oldest ${one}` : `the ${many} oldest ${one}s`);
  const parts = [count(photographs, 'photograph'), count(notes, 'note')];
  return forWantOfRoom(parts, photographs + notes > 1, 'in the record in Platewright, and in its file.');
}
