// In this order: what holds on paper takes the place of what holds on the screen.
import './wall.css?sheet';
import paper from './wallPaper.css?sheet';

/*
 * The sheet for the wall is one side of paper, whatever the plan holds. The browser tells nobody how long a
 * page will be in print, so the print's own styles are put on for a moment, within one turn of the page's
 * script, and the sheet is measured: first the picture gives way, then the type, then the last lines.
 */

/** Width of A4 and height of Letter between margins of 12 mm, less what another engine may need. */
const WIDE_MM = 186;
const HIGH_MM = 249;
const PX_PER_MM = 96 / 25.4;

/** Type in points, height of the picture in mm, lines of notes: from the most legible to the least. */
const STEPS = Array.from({ length: 20 }, (_, i) => 11 - i / 4).flatMap((type_pt) => [12.5, 10.5].map((share) => ({
  type_pt, picture_mm: Math.round(share * type_pt), note_lines: type_pt > 7.5 ? 7 : type_pt > 6.5 ? 5 : 2,
})));

/** Marks what is left out on paper; the sentence about it goes into `.wall-left`. */
const LEFT_OUT = 'data-left-out';

// For print alone, but for the moment of measuring.
paper.media.mediaText = 'print';

/** Sets type and picture so that the whole fits on one side of A4 and of Letter, and says what could not. */
export function fitOnOneSide(sheet: HTMLElement): void {
  const said = sheet.querySelector<HTMLElement>('.wall-left');
  const notes = sheet.querySelector<HTMLElement>('.wall-notes');
  const lines = [...sheet.querySelectorAll<HTMLElement>('[data-line]')];
  const at = { x: scrollX, y: scrollY };
  for (const line of lines) line.removeAttribute(LEFT_OUT);
  if (said) said.textContent = '';
  paper.media.mediaText = 'all';
  sheet.style.width = `${WIDE_MM}mm`;
  try {
    const fits = (): boolean => sheet.scrollHeight <= HIGH_MM * PX_PER_MM;
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
  } finally {
    paper.media.mediaText = 'print';
    sheet.style.removeProperty('width');
    scrollTo(at.x, at.y);
  }
}

/** What a side of paper could not hold, and where it stands. */
function leftOut(lines: number, notes: boolean): string {
  const what = [lines > 0 ? `the last ${lines === 1 ? 'line' : `${lines} lines`} of the work` : '', notes ? 'the end of the notes' : ''].filter(Boolean).join(' and ');
  return what && `Left out for want of room: ${what}. ${lines > 1 || (lines > 0 && notes) ? 'They stand' : 'It stands'} in the plan: open it in Platewright.`;
}
