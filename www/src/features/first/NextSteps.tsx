import { firstProofLeft } from '../../store/firstTime.ts';
import { panel } from '../../store/notifications.ts';
import { openStep } from '../../store/place.ts';
import './first.css?sheet';

/** After the first proof of one's own: three ways on. */
export function NextSteps() {
  const go = (way: () => void) => () => { firstProofLeft(); way(); };
  return (
    <section class="next-steps" aria-label="What you can do now">
      <h3>This is what your plate would print.</h3>
      <ul>
        <li><button type="button" class="act" onClick={go(() => { openStep.value = 'bites'; })}>Change the minutes</button> and see each value follow.</li>
        <li><button type="button" class="act" onClick={go(() => { panel.value = 'strip'; })}>Try a test strip</button> of dust, bake or bath before you choose.</li>
        <li><button type="button" class="act" onClick={go(() => { panel.value = 'sheet'; })}>Take it to the bench</button>: the whole job on a sheet, step by step.</li>
      </ul>
      <button type="button" class="quiet" onClick={firstProofLeft}>dismiss</button>
    </section>
  );
}
