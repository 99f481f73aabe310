import { savePlan } from './files.ts';
import { note } from './notifications.ts';

/** What has been told of: the plan and its picture, or the record. */
const told = new Set<string>();

/** Says that the browser does not keep `what`; once, however often it fails. `save` is the way to keep it all the same. */
export function notKept(what: string, save = { name: 'save plan', run: savePlan }): void {
  if (told.has(save.name)) return;
  told.add(save.name);
  note({
    key: `store, ${save.name}`,
    words: `This browser does not keep ${what}: its store for this page is full or forbidden. Save it as a file before you close the page.`,
    acts: [save],
  });
}
