/**
 * One worker: takes requests, lets Rust answer them, sends the answers back.
 *
 * It runs as a classic worker after the wasm-bindgen glue, which leaves a global `wasm_bindgen`.
 * The first message carries the compiled module; every later one is a `Sent`.
 */
import { four, isOfPictures, pictureAnswer } from './pictureAnswers';
import type { PictureAnswers, PictureRequest } from './pictureProtocol';
import { shopAnswer } from './shopAnswers';
import type { ShopAnswers, ShopRequest } from './shopProtocol';
import type { Answers, BiteEdit, Cut, CutRequest, Moment, OpenedLink, Place, Problem, Request, Returned, Sample, SampleNumbers, SampleRequest, Sent, WindowRequest } from './protocol';
import type * as Glue from '../../generated/page';

declare const wasm_bindgen: typeof Glue & { initSync(module: { module: WebAssembly.Module }): unknown };

declare const self: DedicatedWorkerGlobalScope & { platewrightPanic(words: string): void };

type Answer = Answers[keyof Answers] | ShopAnswers[keyof ShopAnswers] | PictureAnswers[keyof PictureAnswers];

let workshop: Glue.Workshop | undefined;
/** For studies of plans and shops as a whole. */
let shop: Glue.Shop | undefined;
/** Number of the state looked at, 0 for the last. */
let lookedAt = 0;
/** For samples of other plans. */
let lab: Glue.Workshop | undefined;

self.platewrightPanic = (words) => send({ panic: words });

function send(returned: Returned | { id: number; answer: Answer }, transfer: Transferable[] = []): void {
  self.postMessage(returned, transfer);
}

/** Bytes of a fresh answer, and their buffer to hand over without copying. */
function rgba(bytes: Uint8Array<ArrayBuffer>): Uint8ClampedArray<ArrayBuffer> {
  return new Uint8ClampedArray(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/** Greys as opaque pixels. */
function opaque(grey: Uint8Array): Uint8ClampedArray<ArrayBuffer> {
  const out = new Uint8ClampedArray(4 * grey.length).fill(255);
  grey.forEach((tone, i) => out.fill(tone, 4 * i, 4 * i + 3));
  return out;
}

function own(bytes: Uint8Array): Uint8Array<ArrayBuffer> {
  return bytes as Uint8Array<ArrayBuffer>;
}

function cut(shop: Glue.Workshop, { left_um, y_um, width_um, after_bites, inked }: CutRequest): Cut {
  const answer = shop.cut(left_um, y_um, width_um, after_bites, inked);
  try {
    return {
      step_um: answer.step_um(),
      copper_um: answer.copper_um(),
      base_um: answer.base_um(),
      resin_um: answer.resin_um(),
      ink_um: answer.ink_um(),
      value: answer.value(),
    };
  } finally {
    answer.free();
  }
}

function openedLink(text: string): OpenedLink {
  const opened = wasm_bindgen.open_link(text);
  try {
    const said = JSON.parse(opened.json()) as Pick<OpenedLink, 'plan' | 'sentence'>;
    return { ...said, lightness: opened.lightness(), width: opened.width() };
  } finally {
    opened.free();
  }
}

function window(shop: Glue.Workshop, { left_um, top_um, width_px, height_px, px_um, fine_um }: Place, show: WindowRequest['show'], after_bites: number): NonNullable<Sample['print']> {
  if (show === 'print' && fine_um) {
    const grey = shop.tile(Math.round(left_um / px_um), Math.round(top_um / px_um), width_px, height_px, px_um, fine_um);
    return { rgba: opaque(grey), width: width_px, height: height_px };
  }
  const bytes = show === 'print'
    ? shop.print_window(left_um, top_um, width_px, height_px, px_um)
    : shop.copper_window(left_um, top_um, width_px, height_px, px_um, after_bites);
  return { rgba: rgba(own(bytes)), width: width_px, height: height_px };
}

function sample(ask: SampleRequest): Sample {
  lab ??= new wasm_bindgen.Workshop();
  if (ask.glance) return JSON.parse(lab.glance(ask.json, ask.value, new Float64Array(ask.shares))) as Sample;
  const { problems } = JSON.parse(lab.take_sample(ask.json, ask.value, new Float64Array(ask.shares))) as { problems: Problem[] };
  if (problems.some((problem) => problem.severity === 'error')) return { problems };
  return {
    problems: [],
    numbers: JSON.parse(lab.sample(ask.value)) as SampleNumbers,
    ...(ask.print && { print: window(lab, ask.print, 'print', 0) }),
    ...(ask.grain && { grain: window(lab, ask.grain, 'print', 0) }),
    ...(ask.copper && { copper: window(lab, ask.copper, 'copper', ask.copper.after_bites) }),
    ...(ask.cut && { cut: cut(lab, ask.cut) }),
  };
}

/** A PNG file: the browser packs the rows. */
async function png(shop: Glue.Workshop, ask: Extract<Request, { do: 'png' }>): Promise<Answers['png']> {
  const { grey, width, height, out_um } = ask;
  const rows = own(shop.png_rows(grey, width, height));
  const packed = new Blob([rows]).stream().pipeThrough(new CompressionStream('deflate'));
  return { png: shop.png_file(new Uint8Array(await new Response(packed).arrayBuffer()), width, height, out_um) };
}

function moment(shop: Glue.Workshop, { place, stage, share }: Extract<Request, { do: 'moment' }>): Moment {
  const now = shop.moment(place.left_um, place.top_um, place.width_px, place.height_px, place.px_um, stage, share);
  try {
    const seen = rgba(own(now.rgba()));
    const width = now.width();
    return {
      rgba: seen, width, height: seen.length / 4 / width, step_um: place.px_um,
      copper_um: now.copper_um(), base_um: now.base_um(), resin_um: now.resin_um(), ink_um: now.ink_um(),
      sheet_um: now.sheet_um(), printed_um: now.printed_um(), stopped: now.stopped(), balls_um: now.balls_um(),
      numbers: JSON.parse(now.numbers()) as Moment['numbers'],
    };
  } finally {
    now.free();
  }
}

function editBites(json: string, edit: BiteEdit): string {
  if (edit.edit === 'take') return wasm_bindgen.take_bites(json, new Float64Array(edit.bites_min), new Float64Array(edit.thresholds_l));
  return wasm_bindgen.edit_bites(json, edit.edit, edit.value, edit.edit === 'move' ? edit.to : 0);
}

function answer(shop: Glue.Workshop, ask: Request | ShopRequest | PictureRequest): Answer | Promise<Answer> {
  if (isOfPictures(ask)) return pictureAnswer(ask);
  switch (ask.do) {
    case 'catalogue': return JSON.parse(shop.catalogue()) as Answer;
    case 'check': return JSON.parse(shop.check(ask.json)) as Answer;
    case 'edit_bites': return JSON.parse(editBites(ask.json, ask.edit)) as Answer;
    case 'plan': {
      const taken = JSON.parse(shop.take_plan(ask.json)) as Answers['plan'];
      // The plan before stays as it was.
      if (taken.problems.some((problem) => problem.severity === 'error')) return taken;
      if (ask.printed) shop.print_of(ask.printed);
      lookedAt = ask.state ?? 0;
      // Without a picture there is no plate yet; it begins with the last state.
      try { shop.look_at(lookedAt); } catch { lookedAt = 0; }
      return taken;
    }
    case 'lines': {
      if (ask.part) shop.take_lines_part(ask.lightness, ask.width, ask.height, four(ask.part));
      else shop.take_lines(ask.lightness, ask.width, ask.height);
      return {};
    }
    case 'line_facts': return { facts: JSON.parse(shop.line_facts()) as Answers['line_facts']['facts'] };
    case 'state_window': {
      shop.look_at(ask.state);
      try {
        return window(shop, ask.window, ask.window.show, ask.window.after_bites ?? 99);
      } finally {
        shop.look_at(lookedAt);
      }
    }
    case 'passage': return { passage: JSON.parse(shop.passage(Float64Array.from(ask.outline.flat()))) as Answers['passage']['passage'] };
    case 'harbour': {
      const taken = JSON.parse(shop.take_harbour()) as Answers['harbour'];
      return { ...taken, grey: shop.picture_grey(), lightness: shop.picture_lightness() };
    }
    case 'lightness': {
      const text = ask.part ? shop.take_part(ask.lightness, ask.width, ask.height, four(ask.part)) : shop.take_lightness(ask.lightness, ask.width, ask.height);
      const taken = JSON.parse(text) as Answers['lightness'];
      return ask.grey ? { ...taken, grey: shop.picture_grey() } : taken;
    }
    case 'likeness': return { made_for: [...shop.likeness()] };
    case 'same_picture': return { same: wasm_bindgen.same_picture(Float64Array.from(ask.a), Float64Array.from(ask.b)) };
    case 'thresholds': return JSON.parse(shop.thresholds()) as Answer;
    case 'suits': return JSON.parse(shop.suits()) as Answer;
    case 'region': return JSON.parse(shop.region(ask.x_mm, ask.y_mm)) as Answer;
    case 'guides': return JSON.parse(shop.guides(ask.paper, ask.mirrored, ask.after)) as Answer;
    case 'summary': return JSON.parse(shop.summary()) as Answer;
    case 'doubt': return JSON.parse(shop.doubt(ask.constant)) as Answer;
    case 'first': return { grey: shop.first(ask.width_px, ask.height_px) };
    case 'tile': {
      const side = Math.round(ask.tile_um / ask.out_um);
      const grey = shop.tile(ask.column * side, ask.row * side, side, side, ask.out_um, ask.px_um);
      return { grey, width: side, height: side };
    }
    case 'window': return window(shop, ask.window, ask.window.show, ask.window.after_bites ?? 0);
    case 'sample': return sample(ask.sample);
    case 'ahead': {
      const { left_um, top_um, width_px, height_px, px_um } = ask.window;
      return { more: shop.lay_ahead(left_um, top_um, width_px, height_px, px_um) };
    }
    case 'patch': {
      const bytes = shop.patch(ask.value, ask.width_px, ask.height_px, ask.px_um);
      return { rgba: rgba(own(bytes)), width: ask.width_px, height: ask.height_px };
    }
    case 'cut': return cut(shop, ask.cut);
    case 'values_map': return { value: shop.values_map(ask.width_px, ask.height_px) };
    case 'stages': {
      const { sample: of } = ask;
      if (of) shop.take_sample(of.json, of.value, new Float64Array(of.shares));
      return { stages: JSON.parse(shop.stages()) } as Answer;
    }
    case 'moment': return moment(shop, ask);
    case 'png': return png(shop, ask);
    case 'link': return { link: ask.with_picture ? shop.link_with_picture(ask.address_chars) : shop.link() };
    case 'open_link': return openedLink(ask.text);
    case 'differences': return JSON.parse(wasm_bindgen.differences(ask.before, ask.after)) as Answer;
    default: return shopAnswer(studies(), ask);
  }
}

function studies(): Glue.Shop {
  shop ??= new wasm_bindgen.Shop();
  return shop;
}

/** Buffers of an answer that can be handed over instead of copied. */
function buffers(given: Answer): Transferable[] {
  return Object.values(given)
    .flatMap((part: unknown) => (part instanceof Object && !ArrayBuffer.isView(part) ? Object.values(part) as unknown[] : [part]))
    .filter((part): part is ArrayBufferView<ArrayBuffer> => ArrayBuffer.isView(part))
    .map((part) => part.buffer);
}

self.onmessage = (event: MessageEvent<WebAssembly.Module | Sent | { id: number; ask: ShopRequest | PictureRequest }>) => {
  if (event.data instanceof WebAssembly.Module) {
    wasm_bindgen.initSync({ module: event.data });
    workshop = new wasm_bindgen.Workshop();
    return;
  }
  const { id, ask } = event.data;
  if (!workshop) {
    send({ id, failed: 'The worker got a request before its module.' });
    return;
  }
  const give = (given: Answer): void => send({ id, answer: given }, buffers(given));
  const fail = (error: unknown): void => {
    // A panic has already been reported by its hook and leaves a RuntimeError behind.
    const failed = error instanceof Error ? error.message : String(error);
    if (error instanceof WebAssembly.RuntimeError) send({ panic: failed });
    else send({ id, failed });
  };
  try {
    const given = answer(workshop, ask);
    if (given instanceof Promise) given.then(give).catch(fail);
    else give(given);
  } catch (error) {
    fail(error);
  }
};
