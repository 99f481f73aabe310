import { askEarly } from './engine/arriving.ts';
import { clearFault, sayFault, sayOpening } from './engine/opening.ts';
import { partFault } from './engine/partFault.ts';
import { DRAFT, TAB } from './store/draftKeys.ts';

/*
 * The script that stands in the hosted page itself, so that it is there as soon as the page is: it asks for the parts
 * that open the page, tells how far they are, and says why where the page's own script or styles don't come.
 */

/** Time without a piece of anything after which one is told that nothing comes, ms. */
const QUIET_MS = 15_000;

const page = document.getElementById('page');
/** The page's script has begun, and tells of everything itself. */
const begun = (): boolean => page?.dataset.begun !== undefined;

let quiet = 0;
let told = false;

function stillComing(): void {
  clearTimeout(quiet);
  quiet = window.setTimeout(() => { if (page?.querySelector('.opening') && !told) sayOpening('Nothing has come in for a while. Look at the connection; it goes on by itself.'); }, QUIET_MS);
}

// Where no script runs, nothing is said to be loading.
clearFault();
stillComing();
askEarly((share) => {
  stillComing();
  if (page?.querySelector('.opening') && !told) sayOpening(share < 1 ? `Loading, ${Math.floor(100 * share)} %` : 'Getting ready', share < 1 ? share : null);
});

/** Whatever stops the page's script or styles before the page can speak for itself. */
addEventListener('error', (event) => {
  const from = event.target;
  const ours = from === window || from instanceof HTMLScriptElement || from instanceof HTMLLinkElement;
  if (begun() || told || !ours) return;
  const what = from instanceof HTMLLinkElement ? 'The style sheet of the page' : 'The script of the page';
  const file = from instanceof HTMLLinkElement ? from.href : from instanceof HTMLScriptElement ? from.src : event instanceof ErrorEvent ? event.filename : '';
  if (from instanceof HTMLLinkElement && (from.rel !== 'stylesheet' || from.id === 'letters')) return;
  told = true;
  // A script that came and was no script is told of by the window itself.
  void partFault(what, { came: from === window, file: file.slice(file.lastIndexOf('/') + 1) }).then(({ message, way }) => {
    // What lies in the browser's cache may be what is wrong.
    sayFault(message, way, () => void fetch(file, { cache: 'reload' }).catch(() => undefined).finally(() => location.reload()));
  });
}, true);

try {
  const title = titleLeft();
  const place = document.getElementById('opening-plan');
  if (title !== '' && place) place.textContent = `Your plan “${title}” is kept here.`;
} catch {
  // Nothing is kept here, or nothing that could be read.
}

/** The title of the plan that was left here, as the store holds it; empty where there is none. */
function titleLeft(): string {
  const drafts = Object.keys(localStorage).filter((key) => key.startsWith(DRAFT)).map((key) => {
    const { at, plan } = JSON.parse(localStorage.getItem(key) ?? '') as { at?: unknown; plan?: { title?: unknown } };
    return { at: key === DRAFT + sessionStorage.getItem(TAB) ? Infinity : Number(at), title: plan?.title };
  });
  const [newest] = drafts.sort((a, b) => b.at - a.at);
  return location.hash.length < 60 && typeof newest?.title === 'string' ? newest.title.slice(0, 120) : '';
}
