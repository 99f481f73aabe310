import { panel } from '../../state/notes';
import { Compare } from '../compare/Compare';
import { Shelf } from '../shelf/Shelf';
import { Share } from './Share';

/** Whichever panel lies over the page. */
export function Panels() {
  switch (panel.value) {
    case 'share': return <Share />;
    case 'shelf': return <Shelf />;
    case 'compare': return <Compare />;
    case null: return null;
  }
}
