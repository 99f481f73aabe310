import { sizeWords } from '../../store/awaited.ts';
import { picture } from '../../store/picture.ts';
import { usePlan } from '../../store/plan.ts';

/** While another picture stands in for the plan's own: what it is, and how to replace it. */
export function Awaited() {
  const { source, made_for } = usePlan((plan) => plan.picture);
  const { name } = picture.value;
  if (typeof source === 'string') return null;
  return (
    <p class="warning awaited">
      {name === null ? 'The harbour stands in' : 'A coarse picture that came with the link stands in'} for
      the picture that this plan was made for: “{source.file}”{sizeWords(made_for)}. Drop that one on the page, or choose it: crop and values stay.
    </p>
  );
}
