// What the lessons say happens, happens. Every sentence of a lesson that states something about the plate
// carries the number of a check in `claims/`, which tries it with the native program; `{=}` marks what is
// common practice or a matter of words and can't be reckoned. A sentence without a mark states nothing to try.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { LESSONS, strip } from './lib.mjs';

/** Read in about three minutes by someone who thinks along. */
const WORDS_A_MINUTE = 150;
/** Longest paragraph that a projector shows at once. */
const MOST_WORDS = 80;

const claims = Object.fromEntries(await Promise.all(LESSONS.map(async ({ id }) => [id, (await import(`./claims/${id}.mjs`)).default])));

/** The sentences of a lesson with their numbers (null for none, '=' for practice). */
function sentences({ text, questions }) {
  const all = [...text.map(({ words }) => words), ...questions.map(({ because }) => because)];
  return all.flatMap((words) => words.match(/[^{}]*?[.?!…]\{[\d=]+\}|[^{}]+?[.?!…](?=\s+\p{Lu}|$)/gu) ?? [])
    .map((words) => ({ words: words.trim(), mark: /\{([\d=]+)\}$/.exec(words)?.[1] ?? null }));
}

const plain = (words) => words.replace(/\[\[(?:[^\]|]*\|)?([^\]]*)\]\]/g, '$1').replace(/\{[\d=]+\}/g, '');

/** Tries all that these lessons say. Two files try half of them each, so that two cores do. */
export function tryLessons(lessons) {
  for (const lesson of lessons) {
    const { id, text, questions, caution } = lesson;

    test(`${id}: every numbered statement has its check, and every check its statement`, () => {
      const said = sentences(lesson);
      const whole = [...text.map(({ words }) => words), ...questions.map(({ because }) => because)].join(' ');
      assert.equal(said.filter(({ mark }) => mark !== null).length, (whole.match(/\{[\d=]+\}/g) ?? []).length, 'every mark ends a sentence');
      const numbers = said.map(({ mark }) => mark).filter((mark) => mark !== null && mark !== '=');
      assert.deepEqual(numbers, numbers.map((_, i) => String(i + 1)), 'numbered in order');
      assert.deepEqual(Object.keys(claims[id]), numbers, 'the same numbers here and there');
      for (const { words, mark } of said) {
        if (mark !== null && mark !== '=') assert.ok(words.includes(claims[id][mark][0]), `check ${mark} is of “${claims[id][mark][0]}”, but the sentence reads “${words}”`);
        // Numbers are always a statement.
        else if (mark === null) assert.doesNotMatch(words, /\d/, `“${words}” has a number and no check`);
      }
    });

    test(`${id}: can be read in its three minutes and shown without scrolling`, () => {
      const all = [...text.map(({ words }) => words), ...questions.flatMap(({ ask, options, because }) => [ask, ...options, because])].map(plain);
      const words = all.join(' ').split(/\s+/).length;
      assert.ok(words <= lesson.minutes * WORDS_A_MINUTE, `${words} words in ${lesson.minutes} minutes`);
      for (const one of all) assert.ok(one.split(/\s+/).length <= MOST_WORDS, `too long to be shown at once: ${one}`);
      assert.match(caution, /safety sheet|responsible person/i, 'the caution defers to others');
      assert.doesNotMatch([...all, caution].join(' '), /\b(is|are|be) safe\b|harmless|no danger/i, 'nothing is called safe');
      const { along, down } = lesson.strip;
      const patches = (along.from === along.to ? 3 : along.count) * (down ? (down.from === down.to ? 3 : down.count) : 1);
      for (const { at } of [...text, ...questions]) assert.ok(at < patches, `patch ${at} of ${patches}`);
      assert.equal(strip(id).length, patches, 'the native program prints as many');
      for (const { options, right } of questions) assert.ok(options[right], 'the right answer is one of the options');
    });

    for (const [number, [fragment, holds]] of Object.entries(claims[id])) test(`${id} {${number}}: ${fragment}`, holds);
  }
}
