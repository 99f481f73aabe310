import { panel } from './store/notifications.ts';
import { later } from './ui/Later.tsx';

const Share = later('The links', async () => (await import('./features/share/Share.tsx')).Share);
const Shelf = later('The shelf', async () => (await import('./features/shelf/Shelf.tsx')).Shelf);
const Compare = later('The comparison', async () => (await import('./features/compare/Compare.tsx')).Compare);

const Strip = later('The test strip', async () => (await import('./features/strip/Strip.tsx')).Strip);
const BenchSheet = later('The bench sheet', async () => (await import('./features/sheet/BenchSheet.tsx')).BenchSheet);
const RiskForm = later('The form', async () => (await import('./features/risks/RiskForm.tsx')).RiskForm);
const Guides = later('The guides', async () => (await import('./features/guides/Guides.tsx')).Guides);
const Clock = later('The clock', async () => (await import('./features/clock/Clock.tsx')).Clock);
const Lessons = later('The lessons', async () => (await import('./features/lessons/Lessons.tsx')).Lessons);
const Glossary = later('The glossary', async () => (await import('./features/glossary/Glossary.tsx')).Glossary);

const Backwards = later('Planning backwards', async () => (await import('./features/backwards/Backwards.tsx')).Backwards);
const Calibrate = later('Calibrating', async () => (await import('./features/calibrate/Calibrate.tsx')).Calibrate);
const BathBook = later('The bath book', async () => (await import('./features/bathbook/BathBook.tsx')).BathBook);

const Numbers = later('What is said of the numbers', async () => (await import('./features/numbers/Numbers.tsx')).Numbers);
const Teach = later('Your own lessons', async () => (await import('./features/teach/Teach.tsx')).Teach);
const Watch = later('The plate at work', async () => (await import('./features/watch/Watch.tsx')).Watch);

const Pulled = later('The reading of proofs', async () => (await import('./features/pulled/Pulled.tsx')).Pulled);
const PlateRecord = later('The record', async () => (await import('./features/record/Record.tsx')).Record);

const Book = later('The book of faults', async () => (await import('./features/faults/Book.tsx')).Book);
const Cost = later('What it would cost', async () => (await import('./features/faults/Cost.tsx')).Cost);
const WhatWentWrong = later('The exercise', async () => (await import('./features/faults/Exercise.tsx')).WhatWentWrong);

/** Whichever panel lies over the page. */
export function Panels() {
  switch (panel.value) {
    case 'share': return <Share />;
    case 'shelf': return <Shelf />;
    case 'compare': return <Compare />;
    case 'strip': return <Strip />;
    case 'sheet': return <BenchSheet />;
    case 'risks': return <RiskForm />;
    case 'guides': return <Guides />;
    case 'clock': return <Clock />;
    case 'lessons': return <Lessons />;
    case 'glossary': return <Glossary />;
    case 'backwards': return <Backwards />;
    case 'calibrate': return <Calibrate />;
    case 'baths': return <BathBook />;
    case 'watch': return <Watch />;
    case 'numbers': return <Numbers />;
    case 'record': return <PlateRecord />;
    case 'pulled': return <Pulled />;
    case 'teach': return <Teach />;
    case 'faults': return <Book />;
    case 'cost': return <Cost />;
    case 'what-went-wrong': return <WhatWentWrong />;
    case null: return null;
  }
}
