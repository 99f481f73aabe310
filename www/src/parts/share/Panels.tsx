import { panel } from '../../state/notes';
import { later } from '../Later';

const Share = later('The links', async () => (await import('./Share')).Share);
const Shelf = later('The shelf', async () => (await import('../shelf/Shelf')).Shelf);
const Compare = later('The comparison', async () => (await import('../compare/Compare')).Compare);

const Strip = later('The test strip', async () => (await import('../strip/Strip')).Strip);

/** Whichever panel lies over the page. */
export function Panels() {
  switch (panel.value) {
    case 'share': return <Share />;
    case 'shelf': return <Shelf />;
    case 'compare': return <Compare />;
    case 'strip': return <Strip />;
    case null: return null;
  }
}
