import { useEffect, useState } from 'preact/hooks';
import { PlanWorker } from '../../engine/planWorker.ts';
import type { Plan, Sentence } from '../../engine/protocol.ts';
import { pool } from '../../engine/scheduler.ts';
import { lastJob, type PlateRecord } from '../../store/plateRecord.ts';
import { plan as inHand } from '../../store/plan.ts';
import { soundPlan } from '../../store/results.ts';
import { checked } from '../../store/shelf.ts';

/** The plan of one job: null where this page can't read it; with what has been changed since, in words. */
export interface Then { plan: Plan | null; since: Sentence[] }

/** Each job's plan as it was then, beside the plan as it stands now. */
export function useThen({ jobs }: PlateRecord, now: Plan | null): ReadonlyMap<string, Then> {
  const [then, setThen] = useState<ReadonlyMap<string, Then>>(new Map());
  // What ran in the jobs is no matter here.
  const key = JSON.stringify(jobs.map(({ id, plan }) => [id, plan]));
  useEffect(() => {
    let here = true;
    const look = async (): Promise<void> => {
      const found = new Map<string, Then>();
      for (const [id, plan] of JSON.parse(key) as [string, unknown][]) {
        const was = plan === null ? null : await checked(plan);
        const told = was && now ? await pool.plain('differences', was, now).catch(() => null) : null;
        found.set(id, { plan: was, since: told?.differences.map(({ sentence }) => sentence) ?? [] });
      }
      if (here) setThen(found);
    };
    void look();
    return () => { here = false; };
  }, [key, now]);
  return then;
}

/** The plan that the record speaks of: as it was bitten last; as it stands now where nothing has run. */
export function spokenOf(record: PlateRecord, then: ReadonlyMap<string, Then>, now: Plan | null): { plan: Plan | null; bitten: number | null } {
  const last = lastJob(record);
  const was = last && then.get(last.id)?.plan;
  return was ? { plan: was, bitten: last.at } : { plan: now, bitten: null };
}

/** A plan's link, without its picture; empty where there is none, null until it is known. */
export function useLink(of: Plan | null): string | null {
  const [link, setLink] = useState<{ of: Plan | null; text: string } | null>(null);
  useEffect(() => {
    let here = true;
    const make = async (): Promise<string> => {
      if (!of) return '';
      if (of === inHand.peek() && of === soundPlan.peek()) return pool.ask('link');
      const aside = new PlanWorker();
      try {
        return await aside.ask(of, null, 'link', []);
      } finally {
        aside.end();
      }
    };
    make().catch(() => '').then((text) => { if (here) setLink({ of, text }); }, () => undefined);
    return () => { here = false; };
  }, [of]);
  return link?.of === of ? link?.text ?? null : null;
}
