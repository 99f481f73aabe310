import { useEffect, useRef, useState } from 'preact/hooks';
import { askReader } from '../../engine/reader.ts';
import { picture } from '../../store/picture.ts';

/** Wide enough to aim at a tone; the picture itself stays where it is. */
const WIDE = 320;

/** The picture, to pick a value's tone from. */
export function Picker({ count, onPick }: { count: number; onPick: (index: number, lightness: number) => void }) {
  const [value, setValue] = useState(0);
  const canvas = useRef<HTMLCanvasElement>(null);
  const from = picture.value.canvas;
  useEffect(() => {
    const context = canvas.current?.getContext('2d');
    if (context && from) context.drawImage(from, 0, 0, context.canvas.width, context.canvas.height);
  }, [from]);
  if (!from) return null;
  const pick = (event: MouseEvent): void => {
    const on = canvas.current;
    const context = on?.getContext('2d');
    if (!on || !context) return;
    const box = on.getBoundingClientRect();
    const x = Math.floor(((event.clientX - box.left) / box.width) * on.width);
    const y = Math.floor(((event.clientY - box.top) / box.height) * on.height);
    // The mean of a few pixels: one alone may be a speck.
    const { data } = context.getImageData(Math.max(0, x - 2), Math.max(0, y - 2), 5, 5);
    void askReader('lightness_of', new Uint8Array(data.buffer)).then((lightness) => onPick(value, lightness), () => undefined);
    if (value < count - 1) setValue(value + 1);
  };
  return (
    <section class="back-pick" aria-label="Pick from the picture">
      <label>
        Pick from the picture for{' '}
        <select value={String(value)} onChange={(event) => setValue(Number(event.currentTarget.value))}>
          {Array.from({ length: count }, (_, i) => <option key={i} value={String(i)}>value {i + 1}</option>)}
        </select>
      </label>
      <canvas ref={canvas} class="back-picture" width={WIDE} height={Math.round((WIDE * from.height) / from.width)} onClick={pick}
        role="img" aria-label={`The picture; press where value ${value + 1} belongs`} />
    </section>
  );
}
