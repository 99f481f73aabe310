import type { Evidence, Sentence } from '../engine/protocol.ts';
import { capital } from './capital.ts';
import { isPlateId } from './recorded.ts';

/*
 * The record of a plate: what really happened to the copper. Entries are told apart by ids of their own; whoever
 * changes a record takes the one before and gives the next.
 */

/** A timed step of a job: what was planned, what it really took, and when it ended (ms since 1970). */
export interface RanStep {
  id: string; name: string; planned_s: number | null; ran_s: number | null; at: number | null;
  /** Written or put right by hand: it stands, whatever the clock says later. */
  by_hand: boolean;
}

/** One stay at the bench, with the plan as it was then (unchecked). */
export interface Job { id: string; at: number; plan: unknown; steps: RanStep[]; by_hand: boolean }

/** A photograph of a proof; the pixels are kept beside the record. `of`: the state it shows, 0 for the plate itself. */
export interface Photograph { id: string; at: string; of: number; caption: string; width: number; height: number }

export interface RecordNote { id: string; at: string; text: string }

/** `bat` is the bon à tirer, `ap` an artist's proof. */
export type Kind = 'bat' | 'ap' | 'edition';
export const KINDS: readonly Kind[] = ['bat', 'ap', 'edition'];

/** A print from the plate, as it is written under its plate mark: `number` of `of`. */
export interface Impression { id: string; kind: Kind; number: number; of: number | null; at: string; paper: string; word: string; destroyed: boolean }

/** What a proof of the plate has told: the sentence, and what the shop learns of it. `at` is the day of its photograph. */
export interface ProofTold { id: string; at: string; title: string; said: Sentence; evidence: Evidence }

export interface PlateRecord {
  /** What the plate goes by. */
  id: string;
  /** Title and plan (unchecked) when something was last written. */
  title: string; plan: unknown;
  jobs: Job[]; photographs: Photograph[]; notes: RecordNote[]; impressions: Impression[]; told: ProofTold[];
  /** Size of the edition where no plan says it. */
  edition_of: number | null;
  cancelled: { at: string; word: string } | null;
}

/** Most of each that a record holds. */
export const MOST = { jobs: 60, steps: 200, photographs: 60, notes: 400, impressions: 1200, told: 60 } as const;
/** Largest number under an impression, and longest texts. */
export const MOST_NUMBER = 999;
export const LONGEST = { title: 120, name: 160, caption: 240, paper: 80, word: 160, text: 4000, said: 2000 } as const;

export const emptyRecord = (id: string): PlateRecord =>
  ({ id, title: '', plan: null, jobs: [], photographs: [], notes: [], impressions: [], told: [], edition_of: null, cancelled: null });

/** Nothing stands in it that anybody would miss. */
export function isEmpty({ jobs, photographs, notes, impressions, told, cancelled }: PlateRecord): boolean {
  return jobs.length + photographs.length + notes.length + impressions.length + told.length === 0 && cancelled === null;
}

/** An entry put with others; once, however often it is put. */
export const added = <T extends { id: string }>(all: readonly T[], one: T): T[] => (all.some(({ id }) => id === one.id) ? [...all] : [...all, one]);

/** A record with what only the other has. */
export function joined(a: PlateRecord, b: PlateRecord): PlateRecord {
  const both = <T extends { id: string }>(one: readonly T[], other: readonly T[]): T[] => other.reduce<T[]>(added, [...one]);
  return {
    ...a, jobs: both(a.jobs, b.jobs), photographs: both(a.photographs, b.photographs), notes: both(a.notes, b.notes),
    impressions: both(a.impressions, b.impressions), told: both(a.told, b.told), cancelled: a.cancelled ?? b.cancelled,
  };
}

/* What really ran. */

/** Something timed has ended in it. */
export const hasRun = ({ steps }: Job): boolean => steps.some(({ ran_s }) => ran_s !== null);

/** A timed step as a clock knows it; `ran_s` is null until it ends. */
export type Timed = Omit<RanStep, 'by_hand'>;

/** The record with a job as far as the clock has come; `begun` is the job as it began, for a record that hasn't got it yet. */
export function carried(record: PlateRecord, begun: Job, timed: Timed[]): PlateRecord {
  const known = record.jobs.find(({ id }) => id === begun.id);
  const job = known ?? begun;
  const steps = job.steps.map((one): RanStep => {
    const now = timed.find(({ id }) => id === one.id);
    return one.by_hand || !now ? one : { ...one, ran_s: now.ran_s, at: now.at };
  });
  // Steps that the plan has got since then.
  const later = timed.filter((one) => one.ran_s !== null && !steps.some(({ id }) => id === one.id));
  const next = { ...job, steps: [...steps, ...later.map((one) => ({ ...one, by_hand: false }))] };
  return { ...record, jobs: known ? record.jobs.map((one) => (one === known ? next : one)) : [...record.jobs, next] };
}

/** A job that was left before anything ended is none. */
export function left(record: PlateRecord, job: string): PlateRecord {
  return { ...record, jobs: record.jobs.filter((one) => one.id !== job || hasRun(one)) };
}

/** The record with what a step took as somebody has written it; null takes it out. */
export function withRan(record: PlateRecord, job: string, step: string, ran_s: number | null): PlateRecord {
  return {
    ...record,
    jobs: record.jobs.map((one) => (one.id !== job ? one : {
      ...one, steps: one.steps.map((ran) => (ran.id !== step ? ran : { ...ran, ran_s, at: ran.at ?? one.at, by_hand: true })),
    })),
  };
}

/** The newest job in which something ran. */
export function lastJob({ jobs }: PlateRecord): Job | null {
  return jobs.filter(hasRun).sort((a, b) => a.at - b.at).at(-1) ?? null;
}

/* Impressions. */

/** As it is written under the plate mark: common practice, no source. */
export function numberWords({ kind, number, of }: Pick<Impression, 'kind' | 'number' | 'of'>): string {
  if (kind === 'bat') return 'bon à tirer';
  return kind === 'ap' ? `A.P.\u00a0${number}` : `${number}${of === null ? '' : `/${of}`}`;
}

/** The next numbers of a kind: the lowest that nothing bears, no more than the edition has. */
export function freeNumbers({ impressions }: PlateRecord, kind: Kind, count: number, of: number | null): number[] {
  const taken = new Set(impressions.filter((one) => one.kind === kind).map(({ number }) => number));
  const most = kind === 'bat' ? 1 : kind === 'edition' ? of ?? MOST_NUMBER : MOST_NUMBER;
  const free: number[] = [];
  for (let number = 1; number <= most && free.length < count; number++) if (!taken.has(number)) free.push(number);
  return free;
}

/** In the order of a portfolio: bon à tirer, artist's proofs, edition. */
export function inOrder(impressions: readonly Impression[]): Impression[] {
  return [...impressions].sort((a, b) => KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) || a.number - b.number);
}

/** What has been pulled, in a sentence; empty where nothing has. */
export function pulledWords({ impressions }: PlateRecord, planned: number | null): string {
  const of = (kind: Kind): Impression[] => impressions.filter((one) => one.kind === kind);
  const [aps, edition] = [of('ap'), of('edition')];
  const gone = impressions.filter(({ destroyed }) => destroyed).length;
  const words = [
    of('bat').length > 0 ? 'bon à tirer' : '',
    aps.length > 0 ? `${aps.length} artist’s ${aps.length === 1 ? 'proof' : 'proofs'}` : '',
    edition.length > 0 ? `${edition.length}${planned === null ? '' : ` of ${planned}`} of the edition` : '',
    gone > 0 ? `${gone} of these destroyed` : '',
  ].filter(Boolean).join(', ');
  return words && `${capital(words)}.`;
}

/* From the store or a file. */

type Fields = Record<string, unknown>;

class Unsound extends Error {}

const fail = (): never => { throw new Unsound(); };
const fields = (of: unknown): Fields => (typeof of === 'object' && of !== null && !Array.isArray(of) ? of as Fields : fail());
const text = (of: unknown, most: number): string => (typeof of === 'string' && of.length <= most ? of : fail());
const whole = (of: unknown, least: number, most: number): number => (Number.isInteger(of) && Number(of) >= least && Number(of) <= most ? Number(of) : fail());
const orNull = <T>(of: unknown, read: (of: unknown) => T): T | null => (of === null ? null : read(of));
const list = <T>(of: unknown, most: number, read: (one: Fields) => T): T[] => (Array.isArray(of) && of.length <= most ? of.map((one) => read(fields(one))) : fail());
const id = (of: unknown): string => (isPlateId(of) ? of : fail());
/** Steps are named by the bench list: `bite-1`. */
const stepId = (of: unknown): string => (typeof of === 'string' && /^[0-9a-z-]{1,60}$/.test(of) ? of : fail());
const moment = (of: unknown): number => whole(of, 0, 1e14);
const seconds = (of: unknown): number => (typeof of === 'number' && of >= 0 && of <= 1e6 ? of : fail());
const day = (of: unknown): string => (typeof of === 'string' && /^\d{4}-\d\d-\d\d$/.test(of) ? of : fail());
const yes = (of: unknown): boolean => (typeof of === 'boolean' ? of : fail());

function step(of: Fields): RanStep {
  return {
    id: stepId(of.id), name: text(of.name, LONGEST.name), planned_s: orNull(of.planned_s, seconds), ran_s: orNull(of.ran_s, seconds),
    at: orNull(of.at, moment), by_hand: yes(of.by_hand),
  };
}

function impression(of: Fields): Impression {
  return {
    id: id(of.id), kind: KINDS.find((kind) => kind === of.kind) ?? fail(), number: whole(of.number, 1, MOST_NUMBER),
    of: orNull(of.of, (all) => whole(all, 1, MOST_NUMBER)), at: day(of.at), paper: text(of.paper, LONGEST.paper), word: text(of.word, LONGEST.word), destroyed: yes(of.destroyed),
  };
}

/** Most constants and bites that a proof tells of. */
const MOST_TOLD = 60;

const number = (of: unknown): number => (typeof of === 'number' && Number.isFinite(of) ? of : fail());
const row = <T>(of: unknown, most: number, read: (one: unknown) => T): T[] => (Array.isArray(of) && of.length <= most ? (of as unknown[]).map(read) : fail());

/** Whether its numbers fit together the Rust sees to. */
function told(of: Fields): ProofTold {
  const [said, evidence] = [fields(of.said), fields(of.evidence)];
  return {
    id: id(of.id), at: day(of.at), title: text(of.title, LONGEST.title), said: { metric: text(said.metric, LONGEST.said), us: text(said.us, LONGEST.said) },
    evidence: {
      id: text(evidence.id, LONGEST.name), keys: row(evidence.keys, MOST_TOLD, (key) => text(key, LONGEST.name)), mean_ln: row(evidence.mean_ln, MOST_TOLD, number),
      covariance_ln: row(evidence.covariance_ln, MOST_TOLD ** 2, number), weight: number(evidence.weight), powder_g_per_m2: number(evidence.powder_g_per_m2),
      bite_min: row(evidence.bite_min, MOST_TOLD, number),
    },
  };
}

/** Longest side of a photograph that is kept, pixels. */
export const PHOTO_PX = 1600;

/** What was kept or sent as a record; null where anything in it is not as it must be. Its plans are still to be checked. */
export function asRecord(found: unknown): PlateRecord | null {
  try {
    const of = fields(found);
    return {
      id: id(of.id), title: text(of.title, LONGEST.title), plan: of.plan ?? null,
      jobs: list(of.jobs, MOST.jobs, (job) => ({ id: id(job.id), at: moment(job.at), plan: job.plan ?? null, steps: list(job.steps, MOST.steps, step), by_hand: yes(job.by_hand) })),
      photographs: list(of.photographs, MOST.photographs, (one) => ({
        id: id(one.id), at: day(one.at), of: whole(one.of, 0, 99), caption: text(one.caption, LONGEST.caption), width: whole(one.width, 1, PHOTO_PX), height: whole(one.height, 1, PHOTO_PX),
      })),
      notes: list(of.notes, MOST.notes, (one) => ({ id: id(one.id), at: day(one.at), text: text(one.text, LONGEST.text) })),
      impressions: list(of.impressions, MOST.impressions, impression),
      // Records of before proofs were read have none.
      told: of.told === undefined ? [] : list(of.told, MOST.told, told),
      edition_of: orNull(of.edition_of, (all) => whole(all, 1, MOST_NUMBER)),
      cancelled: orNull(of.cancelled, (one) => ({ at: day(fields(one).at), word: text(fields(one).word, LONGEST.word) })),
    };
  } catch (error) {
    if (error instanceof Unsound) return null;
    throw error;
  }
}

/** Whether two records say the same of the copper. */
export function sameRecord(a: PlateRecord, b: PlateRecord): boolean {
  // Photographs may have got other names on their way.
  const bare = (of: PlateRecord): string => JSON.stringify({ ...of, id: '', title: '', plan: null, photographs: of.photographs.map((one) => ({ ...one, id: '' })) });
  return bare(a) === bare(b);
}
