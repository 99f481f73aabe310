// What the other half of the lessons says: see lessons.test.mjs.

import { tryLessons } from './lesson.mjs';
import { LESSONS } from './lib.mjs';

tryLessons(LESSONS.filter((_, i) => i % 2 === 1));
