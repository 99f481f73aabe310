import { choose } from '../../store/fileActs.ts';
import { harbourKept } from '../../store/firstTime.ts';
import { lesson } from '../../store/lessons.ts';
import { panel } from '../../store/notifications.ts';
import { picture } from '../../store/picture.ts';

/** What this is and what comes out of it, in one line, and one large place for one's own picture. */
export function Welcome() {
  if (picture.value.name !== null || harbourKept.value) return null;
  return (
    <section class="welcome" aria-label="Begin here">
      <p>See what your aquatint plate will print, grain by grain, before any copper is spent.</p>
      <button type="button" class="welcome-picture" onClick={() => choose('image/*')}>
        <strong>Your own picture</strong>
        <span class="welcome-drop">drop it on the page, or choose it</span>
        <span class="welcome-camera">choose it, or take it with the camera</span>
      </button>
      <p class="acts">
        <button type="button" class="quiet" onClick={() => { lesson.value = null; panel.value = 'lessons'; }}>learn with the harbour…</button>
        <button type="button" class="quiet" onClick={() => { harbourKept.value = true; }}>put this away</button>
      </p>
    </section>
  );
}
