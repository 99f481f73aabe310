// In this order: what holds on paper takes the place of what holds on the screen.
import './wall.css?sheet';
import paper from './wallPaper.css?sheet';
import { forPrint, forWantOfRoom, LEFT_OUT, onPaper } from '../../ui/oneSide.ts';

/* The sheet for the wall is one side of paper: first the picture gives way, then the type, then the last lines. */

/** Type in points, height of the picture in mm, lines of notes: from the most legible to the least. */
const STEPS = Array.from({ length: 20 }, (_, i) => 11 - i / 4).flatMap((type_pt) => [12.5, 10.5].map((share) => ({
  type_pt, picture_mm: Math.round(share * type_pt), note_lines: type_pt > 7.5 ? 7 : type_pt > 6.5 ? 5 : 2,
})));

forPrint(paper);

/** Sets type and picture so that the whole fits on one side of A4 and of Letter; `.wall-left` says what could not. */
export function fitOnOneSide(sheet: HTMLElement): void {
  const said = sheet.querySelector<HTMLElement>('.wall-left');
  const notes = sheet.querySelector<HTMLElement>('.wall-notes');
  const lines = [...sheet.querySelectorAll<HTMLElement>('[data-line]')];
  for (const line of lines) line.removeAttribute(LEFT_OUT);
  if (said) said.textContent = '';
  onPaper(sheet, paper, (fits) => {
    const say = (): void => {
      if (said) said.textContent = leftOut(lines.filter((line) => line.hasAttribute(LEFT_OUT)).length, notes !== null && notes.scrollHeight > notes.clientHeight + 1);
    };
    for (const { type_pt, picture_mm, note_lines } of STEPS) {
      sheet.style.setProperty('--type', `${type_pt}pt`);
      sheet.style.setProperty('--picture', `${picture_mm}mm`);
      sheet.style.setProperty('--note-lines', String(note_lines));
      say();
      if (fits()) return;
    }
    for (const line of lines.reverse()) {
      line.setAttribute(LEFT_OUT, '');
      say();
      if (fits()) return;
    }
  });
}

/** What a side of paper could not hold, and where it stands. */
function leftOut(lines: number, notes: boolean): string {
  const parts = [lines > 0 ? `the last ${lines === 1 ? 'line' : `${lines} lines`} of the work` : '', notes ? 'the end of the notes' : ''];
  return forWantOfRoom(parts, lines > 1 || (lines > 0 && notes), 'in the plan: open it in Platewright.');
}
