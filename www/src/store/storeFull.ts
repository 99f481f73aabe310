import { savePlan } from './files.ts';
import { note } from './notifications.ts';
import { silent } from './pictureStore.ts';

/** What has been told of: the plan, each of its pictures, or the record. */
const told = new Set<string>();

let savePicture = savePlan;

/** Who saves the plan together with its picture. */
export function attachSaving(run: () => void): void {
  savePicture = run;
}

/** Says that the browser does not keep the picture of the plan in hand; of each picture anew. */
export function pictureNotKept(id: string): void {
  notKept('the picture', { name: 'save plan and picture', run: () => savePicture() }, id);
}

/** Says that the browser does not keep `what`; once, however often it fails. `save` is the way to keep it all the same, `which` tells several of a kind apart. */
export function notKept(what: string, save = { name: 'save plan', run: savePlan }, which = ''): void {
  const of = `${save.name} ${which}`;
  if (told.has(of)) return;
  told.add(of);
  note({
    key: `store, ${save.name}`,
    words: `This browser does not keep ${what}: its store for this page ${silent.peek() ? 'does not answer' : 'is full or forbidden'}. Save it as a file before you close the page.`,
    acts: [save],
  });
}
