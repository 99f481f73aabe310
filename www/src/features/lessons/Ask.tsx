import { useId } from 'preact/hooks';
import type { Lesson } from './lessons.ts';
import { guess, guessed, SHOW_ME } from './guesses.ts';
import { LessonFigure } from './LessonFigure.tsx';
import { Marked } from '../glossary/Term.tsx';
import type { LessonWork } from './work.ts';

interface Props { lesson: Lesson; index: number; work: LessonWork | null; heading: string }

/** A question: first the student's own guess, then what happens. */
export function Ask({ lesson, index, work, heading }: Props) {
  const id = useId();
  const question = lesson.questions[index];
  if (!question) return null;
  const { ask, options, right, because, at } = question;
  const mine = guessed(lesson.id, index);
  const answer = (option: number): void => {
    guess(lesson.id, index, option);
    work?.look(at);
  };
  return (
    <section class="ask" aria-labelledby={id} data-answered={mine !== undefined}>
      <h3 id={id}>{heading}</h3>
      <p class="ask-words">{ask}</p>
      <div class="ask-options" role="group" aria-label="My guess is">
        {mine === undefined && <p class="ask-mine">My guess is …</p>}
        {options.map((words, i) => (
          <Option key={words} words={words} so={lesson.given ? 'the lesson’s answer' : 'what happens'} answered={mine !== undefined} mine={mine === i} right={right === i} onGuess={() => answer(i)} />
        ))}
        {mine === undefined && <button type="button" class="quiet ask-pass" onClick={() => answer(SHOW_ME)}>show me without a guess</button>}
      </div>
      <div role="status">
        {mine !== undefined && <p class="ask-because">{mine === right && !lesson.given ? 'So it is. ' : ''}<Marked plain={lesson.given !== undefined} words={because} /></p>}
      </div>
      {/* The strip stands beside the first question; from the others it may be far. */}
      {mine !== undefined && index > 0 && work && <LessonFigure work={work} at={at} />}
    </section>
  );
}

interface OptionProps { words: string; so: string; answered: boolean; mine: boolean; right: boolean; onGuess: () => void }

function Option({ words, so, answered, mine, right, onGuess }: OptionProps) {
  if (!answered) return <button type="button" class="ask-option" onClick={onGuess}>{words}</button>;
  return (
    <p class="ask-option" data-right={right}>
      {words}
      {mine && <span class="ask-note"> your guess</span>}
      {right && <span class="ask-note"> {so}</span>}
    </p>
  );
}
