import { AnyLink } from './link';
import type { PictureAnswers, PictureRequest } from './pictureProtocol';
import { startWorker } from './start';

/*
 * One worker for pictures, started when something of them is first asked for. It is kept apart from those that
 * reckon, so that a crop frame never waits for a proof.
 */

// Whoever waits for the answer hears of a panic.
const link = new AnyLink<PictureRequest, PictureAnswers>(startWorker, () => undefined);

export function askReader<R extends PictureRequest>(request: R): Promise<PictureAnswers[R['do']]> {
  return link.ask(request);
}
