/*
 * Why a part of the page is not there, as a sentence with a way on. The hosted page is many files; any of them can be
 * cut off, be another than it should, or be gone since a newer page has taken its place at the host.
 */

/** `again`: it may come when it is asked for once more. `load`: only the page loaded anew can have it. */
export type WayOn = 'again' | 'load';

/** A part of the page can't be had, or can't be used. Its message is for the user. */
export class PartFault extends Error {
  constructor(message: string, readonly way: WayOn) {
    super(message);
  }
}

const KEPT = 'Your plan is as it was';

/** Said where the browser lacks what the page can't do without. */
export const TOO_OLD = 'This browser is too old for Platewright: it needs one from 2023 or later.';

/** What the way on is called. */
export const wayWords = (way: WayOn): string => (way === 'again' ? 'Try again' : 'Load the page anew');

/** The script that this page opens with, as the page names it; null in the page in one file. */
const ownScript = (): string | null => document.querySelector('script[type="module"]')?.getAttribute('src') ?? null;

/** The page as its host has it now; null where that can't be asked. */
async function pageAtHost(): Promise<string | null> {
  try {
    const answer = await fetch(location.pathname + location.search, { cache: 'no-store' });
    return answer.ok ? await answer.text() : null;
  } catch {
    return null;
  }
}

/** Why `what` is not there. `came`: something did arrive, but not what should have. `file`: which of the page's files it is, where that is known. */
export async function partFault(what: string, { came = false, file = '' } = {}): Promise<PartFault> {
  // The script stands at the end of the page.
  if (document.readyState === 'loading') await new Promise((resolve) => { document.addEventListener('DOMContentLoaded', resolve); });
  const own = ownScript();
  const now = own === null ? null : await pageAtHost();
  if (own !== null && now === null) {
    return new PartFault(`${what} could not be fetched. ${KEPT}; look at the connection.`, 'again');
  }
  if (own !== null && now?.includes('id="opening"') && !now.includes(own)) {
    return new PartFault(`A newer Platewright has taken the place of this one, and ${lower(what)} of this one is gone. ${KEPT}: it goes over into the newer page.`, 'load');
  }
  const named = file === '' ? '' : ` (${file})`;
  return came
    ? new PartFault(`${what} arrived cut short, or as something else${named}. ${KEPT}. If trying again does not help, whoever hosts this page has to put it right.`, 'again')
    : new PartFault(`${what} could not be fetched${named}, though its host answers. ${KEPT}. If trying again does not help, whoever hosts this page has to put it right.`, 'again');
}

/** What arrived is what it should be, and yet this device makes nothing of it. */
export function unmade(what: string): PartFault {
  return new PartFault(`${what} arrived, but this browser could not make it ready: the device may be short of memory. ${KEPT}. Close other tabs, and try again.`, 'again');
}

const lower = (what: string): string => what.charAt(0).toLowerCase() + what.slice(1);
