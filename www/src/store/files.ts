import { plan } from './plan.ts';

export function offer(blob: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** A file's name without its ending. */
export const withoutEnding = (name: string): string => name.replace(/(?<=.)\.[^.\s]*$/, '');

/** A file name from the plan's title. */
export function fileName(ending: string, title = plan.value.title): string {
  const words = title.toLowerCase().normalize('NFC').replace(/[^\p{L}\p{M}\p{N}]+/gu, '-').replace(/^-+|-+$/g, '');
  return `${words || 'plan'}${ending}`;
}

export function savePlan(): void {
  const json = `${JSON.stringify(plan.value, null, 2)}\n`;
  offer(new Blob([json], { type: 'application/json' }), fileName('.platewright.json'));
}

/** What a picture file may be: what browsers read. */
export const PICTURES = 'image/png,image/jpeg,image/webp,image/gif,image/avif,image/bmp';

/** Lets photographs be chosen, or one be taken with the device's camera. */
export function choosePhotographs(how: { camera: boolean; several: boolean }, take: (files: File[]) => void): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = PICTURES;
  if (how.camera) input.setAttribute('capture', 'environment');
  else input.multiple = how.several;
  input.addEventListener('change', () => take([...input.files ?? []]));
  input.click();
}
