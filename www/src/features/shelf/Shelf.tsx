import { useEffect, useState } from 'preact/hooks';
import { dropDraft, others, type Draft } from '../../store/autosave.ts';
import { keptPicture } from '../../store/keptPictures.ts';
import { baths } from '../../store/bathBook.ts';
import { calibrations } from '../../store/calibrations.ts';
import { choose } from '../../store/fileActs.ts';
import { offer } from '../../store/files.ts';
import { takeInHand, withoutPicture } from '../../store/links.ts';
import { panel, told } from '../../store/notifications.ts';
import { pictureFrom } from '../../store/picture.ts';
import { checked, deleted, handIsKept, keepHand, keepOnShelf, putBack, readShelf, shelf } from '../../store/shelf.ts';
import { recorded } from '../../store/recorded.ts';
import { shelfFile } from '../../store/shelfFile.ts';
import { Empty } from '../../ui/Empty.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { schedule, whenWords } from './schedule.ts';
import { ShelfPlan } from './ShelfPlan.tsx';

/** Plans kept in this browser. */
export function Shelf() {
  const [wanted, setWanted] = useState('');
  const [heard, setHeard] = useState('');
  useEffect(() => { void readShelf(); }, []);
  const all = shelf.value;
  const words = wanted.toLowerCase().split(/\s+/).filter(Boolean);
  const found = all.filter(({ name, plan }) => {
    const text = `${name} ${plan.title} ${plan.notes} ${schedule(plan)}`.toLowerCase();
    return words.every((word) => text.includes(word));
  });
  const gone = deleted.value;
  const kept = handIsKept();
  return (
    <Panel name="shelf" class="shelf">
      <p class="section-why">Plans kept in this browser, with their pictures. They stay on this machine; take them out as a file to have them elsewhere.</p>
      <p class="acts">
        <button type="button" class="act" disabled={kept} title={kept ? 'It is on the shelf as it is' : ''}
          onClick={() => void keepHand().then(({ name }) => setHeard(`“${name}” is on the shelf.`))}>
          Keep this plan
        </button>
        <button type="button" class="act" onClick={() => choose('.json,application/json')}>Bring in a file…</button>
        <button type="button" class="act" disabled={all.length + baths.value.length + calibrations.value.length + recorded.value.size === 0}
          onClick={() => void shelfFile(all, 'every').then((blob) => offer(blob, 'platewright-shelf.json'))}>
          Take all out as one file
        </button>
      </p>
      {all.length > 1 && (
        <input class="shelf-search" type="search" aria-label="Search the shelf" placeholder="Search names, notes and bites" value={wanted}
          onInput={(event) => setWanted(event.currentTarget.value)} />
      )}
      <p class="shelf-said" role="status">
        {gone ? <>“{gone.kept.name}” was deleted. <button type="button" class="act" onClick={() => void putBack()}>Put it back</button></> : heard || told.value}
      </p>
      {found.length > 0 && <ul class="shelf-plans" aria-label="Plans on the shelf">{found.map((one) => <ShelfPlan key={one.id} kept={one} />)}</ul>}
      {all.length === 0 && <Empty picture="shelf">Nothing is kept yet: a plan put here waits for you with its picture and its proof.</Empty>}
      {all.length > 0 && found.length === 0 && <p class="finding">No plan on the shelf has these words.</p>}
      <Others />
    </Panel>
  );
}

/** What other tabs of this browser have in hand, or had when they were closed. */
function Others() {
  if (others.value.length === 0) return null;
  return (
    <section aria-labelledby="others-title">
      <h3 id="others-title">In other tabs, open or closed</h3>
      <ul class="shelf-plans">{others.value.map((draft) => <OtherPlan key={draft.id + draft.at} draft={draft} />)}</ul>
    </section>
  );
}

function OtherPlan({ draft }: { draft: Draft }) {
  const title = titleOf(draft);
  const take = async (into: 'hand' | 'shelf'): Promise<void> => {
    const good = await checked(draft.json) ?? await checked(draft.sound);
    if (!good) return;
    const own = await keptPicture(draft.picture);
    if (into === 'shelf') { await keepOnShelf(good, own, good.title, draft.plate); return; }
    const shown = own ? { picture: pictureFrom(own), said: null } : await withoutPicture(good, null);
    await takeInHand(`plan “${title}” from another tab`, good, shown.picture, shown.said, draft.plate);
    panel.value = null;
  };
  return (
    <li class="shelf-plan">
      <div class="shelf-words">
        <p>{title} <span class="unit">{whenWords(draft.at)}</span></p>
        <p class="acts">
          <button type="button" class="act" aria-label={`Open ${title}`} onClick={() => void take('hand')}>open</button>
          <button type="button" class="act" aria-label={`Keep ${title} on the shelf`} onClick={() => void take('shelf')}>keep on the shelf</button>
          <button type="button" class="quiet" aria-label={`Forget ${title}`} onClick={() => dropDraft(draft.id)}>forget</button>
        </p>
      </div>
    </li>
  );
}

function titleOf({ json }: Draft): string {
  const { title } = JSON.parse(json) as { title?: unknown };
  return (typeof title === 'string' && title.slice(0, 120)) || 'Untitled plate';
}
