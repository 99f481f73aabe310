import { PlanWorker } from '../../engine/planWorker.ts';
import type { AfterProof, Explained, ProofFound, ProofReading, ProofSquares } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import { WorkerLost } from '../../engine/workerClient.ts';
import { pixelsOf } from '../../store/opened.ts';
import type { Grey } from '../../ui/KnownGreys.tsx';
import type { Place } from '../../ui/pointer.ts';
import type { Subject } from './subject.ts';

/* What is known of one proof, and the two workers that are asked about it: one holds its plan, one its photograph. */

/** `id` is the photograph's own, whatever plate it is laid on; `at` its day. */
export interface Photo { id: string; at: string; name: string; canvas: HTMLCanvasElement }

/** With what a photograph was read: corners where somebody has set them, and known greys. */
interface How { corners: number[]; greys: number[] }

/** One photograph and all that is known of it. */
export interface Pulled {
  photo: Photo; subject: Subject;
  /** The plate's corners, and whether somebody has moved them. */
  places: Place[]; byHand: boolean; greys: Grey[];
  squares: ProofSquares | null;
  /** `found` is what was read as whoever asks for causes hands it on. */
  reading: ProofReading | null; found: ProofFound | null; how: How | null;
  told: Explained | null;
  /** What next, by cause. */
  next: ReadonlyMap<number, AfterProof>;
  /** The cause that is taken for the one. */
  cause: number;
  /** Why it could not be read, or not explained; and whether the prints could not be drawn. */
  failed: string; unexplained: string; undrawn: boolean;
}

let worker: PlanWorker | null = null;
/** What the worker of the studies has read last. */
let inWorker: How | null = null;

/** The worker that holds the plate's plan. */
export function plateWorker(): PlanWorker {
  worker ??= new PlanWorker();
  return worker;
}

/** Ends the worker with the plan; `all`, what is read of the photograph is gone as well. */
export function letGoWorkers(all: boolean): void {
  worker?.end();
  worker = null;
  if (all) inWorker = null;
}

/** Reads a photograph; the worker of the studies holds it from now on. */
export async function readInWorker({ photo, squares }: Pick<Pulled, 'photo' | 'squares'>, how: How): Promise<ProofFound> {
  const pixels = pixelsOf(photo.canvas);
  if (!pixels || !squares) throw new Error('The photograph can’t be read here.');
  inWorker = null;
  const found = await askStudies('read_proof', squares, pixels, photo.canvas.width, Float64Array.from(how.corners), Float64Array.from(how.greys));
  inWorker = how;
  return found;
}

/** Asks something about what was read of this photograph; it is read again where the worker holds it no more. */
export async function ofProof<T>(of: Pulled, ask: () => Promise<T>): Promise<T> {
  const again = async (): Promise<void> => { if (of.how) await readInWorker(of, of.how); };
  if (inWorker !== of.how) await again();
  try {
    return await ask();
  } catch (error) {
    if (!(error instanceof WorkerLost)) throw error;
    await again();
    return ask();
  }
}
