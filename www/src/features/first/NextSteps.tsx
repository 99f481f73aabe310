import { useRef } from 'preact/hooks';
import { firstProofLeft } from '../../store/firstTime.ts';
import { leadTo } from '../../store/heldUp.ts';
import { panel } from '../../store/notifications.ts';
import { useKeyboardHere } from '../../ui/keyboardHere.ts';
import './first.css?sheet';

/** After the first proof of one's own: three ways on. */
export function NextSteps() {
  const here = useRef<HTMLElement>(null);
  useKeyboardHere(here);
  const go = (way: () => void) => () => { firstProofLeft(); way(); };
  return (
    <section class="next-steps" ref={here} tabIndex={-1} aria-label="What you can do now">
      <h3>This is what your plate would print.</h3>
      <ul>
        <li><button type="button" class="act" onClick={go(() => leadTo('bites.0.bite_min'))}>Change the minutes</button> and see each value follow.</li>
        <li><button type="button" class="act" onClick={go(() => { panel.value = 'strip'; })}>Try a test strip</button> of dust, bake or bath before you choose.</li>
        <li><button type="button" class="act" onClick={go(() => { panel.value = 'sheet'; })}>Take it to the bench</button>: the whole job on a sheet, step by step.</li>
      </ul>
      <button type="button" class="quiet" onClick={firstProofLeft}>dismiss</button>
    </section>
  );
}
