import { savePlan } from './files.ts';
import { note } from './notifications.ts';

let told = false;

/** Says that the browser does not keep `what`; once, however often it fails. */
export function notKept(what: string): void {
  if (told) return;
  told = true;
  note({
    key: 'store',
    words: `This browser does not keep ${what}: its store for this page is full or forbidden. Save it as a file before you close the page.`,
    acts: [{ name: 'save plan', run: savePlan }],
  });
}
