import { widestCrop } from './crop';
import { bench, pyramid, spaceValues } from './desk';
import { takeInHand, withoutPicture } from './links';
import { panel, tell } from './notes';
import { decode, HARBOUR, keptOf, picture } from './picture';
import { catalogue, change, plan } from './plan';
import { progress, refused, said, summary } from './results';

export function offer(blob: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** A file name from the plan's title. */
export function fileName(ending: string, title = plan.value.title): string {
  const words = title.toLowerCase().normalize('NFKD').replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-+|-+$/g, '');
  return `${words || 'plan'}${ending}`;
}

export function savePlan(): void {
  const json = `${JSON.stringify(plan.value, null, 2)}\n`;
  offer(new Blob([json], { type: 'application/json' }), fileName('.platewright.json'));
}

/** Saves the sheet with its margin at true size; only once every grain is in. */
export async function saveProof(): Promise<void> {
  const sheet = pyramid;
  if (!sheet || progress.value.done < progress.value.of) return;
  const paper = summary.value?.sheet_srgb ?? 255;
  const margin = Math.round((plan.value.paper.margin_mm * 1000) / sheet.base_um);
  const width = sheet.width + 2 * margin;
  const height = sheet.height + 2 * margin;
  const grey = new Uint8Array(width * height).fill(paper);
  for (let y = 0; y < sheet.height; y++) {
    grey.set(sheet.grey.subarray(y * sheet.width, (y + 1) * sheet.width), (y + margin) * width + margin);
  }
  roundCorners(grey, width, height, margin, (cornerMm() * 1000) / sheet.base_um, paper);
  const { png } = await bench.ask({ do: 'png', grey, width, height, out_um: sheet.base_um });
  offer(new Blob([new Uint8Array(png)], { type: 'image/png' }), fileName('-proof.png'));
}

/** Rounded corners, no rounder than the plate has room for. */
function cornerMm(): number {
  const { corner_radius_mm, width_mm, height_mm } = plan.value.plate;
  return Math.min(corner_radius_mm, width_mm / 2, height_mm / 2);
}

/** Bare paper outside the plate's rounded corners. The native program does the same. */
function roundCorners(grey: Uint8Array, width: number, height: number, margin: number, radius: number, paper: number): void {
  for (let y = 0; y < radius; y++) {
    const inset = Math.round(radius - Math.sqrt(Math.max(0, radius ** 2 - (radius - y - 0.5) ** 2)));
    for (const row of [margin + y, height - 1 - margin - y]) {
      grey.fill(paper, row * width + margin, row * width + margin + inset);
      grey.fill(paper, (row + 1) * width - margin - inset, (row + 1) * width - margin);
    }
  }
}

/** Takes a picture onto the plate: its widest crop, and values spaced for its tones. */
async function takePicture(file: File): Promise<void> {
  const name = file.name || 'pasted picture';
  const decoded = await decode(file, name);
  const next = widestCrop({
    ...plan.value,
    picture: { ...plan.value.picture, source: { file: name.slice(0, 255) } },
  }, decoded.picture);
  change(`picture “${name}”`, next, decoded.picture);
  said.value = decoded.said;
  spaceValues();
}

export function takeHarbour(): void {
  const known = catalogue.value;
  if (!known) return;
  const { crop, thresholds_l } = known.default_plan.picture;
  const levels = thresholds_l.length === plan.value.bites.length ? thresholds_l : plan.value.picture.thresholds_l;
  change('the harbour again', { ...plan.value, picture: { ...plan.value.picture, source: 'harbour', crop, thresholds_l: levels } }, HARBOUR);
}

async function takePlan(file: File): Promise<void> {
  const json = await file.text();
  const shelf = asShelf(json);
  if (shelf) {
    tell(await (await import('./shelfFile')).layFromFile(shelf, file.size));
    panel.value = 'shelf';
    return;
  }
  const { plan: next, problems } = await bench.front.ask({ do: 'check', json });
  if (!next || problems.some((problem) => problem.severity === 'error')) {
    refused.value = {
      what: `“${file.name}” was not opened; your plan is as it was.`,
      sentences: problems.map((problem) => problem.message),
    };
    return;
  }
  refused.value = null;
  const { picture: shown, said: missing } = await withoutPicture(next, null);
  await takeInHand(`plan “${next.title || file.name}” opened`, next, shown);
  said.value = missing;
}

function asShelf(text: string): Record<string, unknown> | null {
  try {
    const json: unknown = JSON.parse(text);
    return typeof json === 'object' && json !== null && 'platewright_shelf' in json ? json as Record<string, unknown> : null;
  } catch {
    return null;
  }
}

/** Takes whatever was dropped, pasted or chosen. Nothing is lost if it can't be used. */
export async function take(file: File): Promise<void> {
  try {
    const looksLikePlan = file.name.toLowerCase().endsWith('.json') || file.type === 'application/json';
    if (looksLikePlan) await takePlan(file);
    else await takePicture(file);
  } catch (error) {
    refused.value = { what: error instanceof Error ? error.message : String(error), sentences: [] };
  }
}

/** Lets the user choose a file. */
export function choose(accept: string): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = accept;
  input.addEventListener('change', () => {
    const [file] = input.files ?? [];
    if (file) void take(file);
  });
  input.click();
}

/** The plan and its picture as one file. */
export async function savePlanWithPicture(): Promise<void> {
  const shown = keptOf(picture.value);
  const here = { id: '', name: plan.value.title, at: 0, plan: plan.value, picture: shown?.id ?? null, small: null };
  offer(await (await import('./shelfFile')).shelfFile([here]), fileName('-with-picture.json'));
}
