import { panel } from '../../state/notifications';
import { later } from '../Later';

const Share = later('The links', async () => (await import('./Share')).Share);
const Shelf = later('The shelf', async () => (await import('../shelf/Shelf')).Shelf);
const Compare = later('The comparison', async () => (await import('../compare/Compare')).Compare);

const Strip = later('The test strip', async () => (await import('../strip/Strip')).Strip);
const BenchSheet = later('The bench sheet', async () => (await import('../sheet/BenchSheet')).BenchSheet);
const Guides = later('The guides', async () => (await import('../guides/Guides')).Guides);
const Clock = later('The clock', async () => (await import('../clock/Clock')).Clock);
const Lessons = later('The lessons', async () => (await import('../lessons/Lessons')).Lessons);
const Glossary = later('The glossary', async () => (await import('../lessons/Glossary')).Glossary);

const Backwards = later('Planning backwards', async () => (await import('../backwards/Backwards')).Backwards);
const Calibrate = later('Calibrating', async () => (await import('../calibrate/Calibrate')).Calibrate);
const BathBook = later('The bath book', async () => (await import('../bathbook/BathBook')).BathBook);

const Watch = later('The plate at work', async () => (await import('../watch/Watch')).Watch);

/** Whichever panel lies over the page. */
export function Panels() {
  switch (panel.value) {
    case 'share': return <Share />;
    case 'shelf': return <Shelf />;
    case 'compare': return <Compare />;
    case 'strip': return <Strip />;
    case 'sheet': return <BenchSheet />;
    case 'guides': return <Guides />;
    case 'clock': return <Clock />;
    case 'lessons': return <Lessons />;
    case 'glossary': return <Glossary />;
    case 'backwards': return <Backwards />;
    case 'calibrate': return <Calibrate />;
    case 'baths': return <BathBook />;
    case 'watch': return <Watch />;
    case null: return null;
  }
}
