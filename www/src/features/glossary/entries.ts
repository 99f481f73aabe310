import glossary from './glossary.json';

/** A term of the trade. Its picture is made by the simulation: one bite of so many minutes on the example plan, with these settings. */
export interface Entry {
  id: string; word: string; words: string; see: string[];
  picture?: { show: 'print' | 'copper' | 'cut' | 'inked'; minutes: number; set: Record<string, number | string> };
}

/** Alphabetical, as people look words up. */
export const GLOSSARY: Entry[] = (glossary as unknown as Entry[]).slice().sort((a, b) => bare(a.word).localeCompare(bare(b.word), 'en'));

function bare(word: string): string {
  return word.toLowerCase().replace(/[^a-zµ]/g, '').replace('µ', 'm');
}

const byId = new Map(GLOSSARY.map((one) => [one.id, one]));

export function entry(id: string): Entry {
  return byId.get(id) ?? { id, word: id, words: 'This word has no entry yet.', see: [] };
}
