import { compareWith } from '../../store/versions.ts';
import { guest, keepBoth, lookAtGuest } from '../../store/links.ts';
import { panel } from '../../store/notifications.ts';
import { keptOf } from '../../store/picture.ts';
import { worded } from '../../store/settings.ts';

/** Differences listed before the rest is only counted. */
const MOST_LISTED = 5;

/** A plan that came with a link, offered beside the one in hand. */
export function Guest() {
  const now = guest.value;
  if (!now) return null;
  const { plan, differences } = now;
  const more = differences.length - MOST_LISTED;
  return (
    <section class="notice guest" aria-label="A plan from a link">
      <div>
        <p>A plan came with the link: “{plan.title || 'untitled plate'}”. Yours is as it was.</p>
        {differences.length > 0 && (
          <ul>
            {differences.slice(0, MOST_LISTED).map((one, i) => <li key={i}>{worded(one.sentence)}</li>)}
            {more > 0 && <li>and {more} more {more === 1 ? 'difference' : 'differences'}</li>}
          </ul>
        )}
        <p class="notice-acts">
          <button type="button" class="quiet" onClick={() => void lookAtGuest()}>look at it</button>
          <button type="button" class="quiet" onClick={() => {
            compareWith({ name: `“${plan.title || 'untitled plate'}”, from the link`, plan, picture: keptOf(now.picture) });
            panel.value = 'compare';
          }}>
            side by side
          </button>
          <button type="button" class="quiet" onClick={() => void keepBoth()}>keep both on the shelf</button>
          <button type="button" class="quiet" onClick={() => { guest.value = null; }}>dismiss</button>
        </p>
      </div>
    </section>
  );
}
