/*
 * One side of paper, whatever is to stand on it. The browser tells nobody how long a page will be in print, so the print's
 * own styles are put on for a moment, within one turn of the page's script, and the sheet is measured.
 */

/** Width of A4 and height of Letter between margins of 12 mm, less what another engine may need. */
const WIDE_MM = 186;
const HIGH_MM = 249;
const PX_PER_MM = 96 / 25.4;

/** Marks what is left out on paper. */
export const LEFT_OUT = 'data-left-out';

/** Styles for print alone, but for the moment of measuring. */
export function forPrint(paper: CSSStyleSheet): CSSStyleSheet {
  paper.media.mediaText = 'print';
  return paper;
}

/** Has a sheet fitted as it is in print; `fits` tells whether it is one side of A4 and of Letter as it stands. */
export function onPaper(sheet: HTMLElement, paper: CSSStyleSheet, fit: (fits: () => boolean) => void): void {
  const at = { x: scrollX, y: scrollY };
  paper.media.mediaText = 'all';
  sheet.style.width = `${WIDE_MM}mm`;
  try {
    fit(() => sheet.scrollHeight <= HIGH_MM * PX_PER_MM);
  } finally {
    forPrint(paper);
    sheet.style.removeProperty('width');
    scrollTo(at.x, at.y);
  }
}

/** What a side of paper could not hold, and where it stands; empty where it holds all. */
export function forWantOfRoom(parts: string[], several: boolean, where: string): string {
  const what = parts.filter(Boolean).join(' and ');
  return what && `Left out for want of room: ${what}. ${several ? 'They stand' : 'It stands'} ${where}`;
}
