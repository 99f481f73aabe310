// The page's own workers at pixels of grain that the page does not offer.

import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const ASSETS = path.join(path.dirname(fileURLToPath(import.meta.url)), '../../dist/assets');

/** What the build put into `assets/` under this name. */
function asset(named, form) {
  const file = readdirSync(ASSETS).find((one) => named.test(one));
  if (!file) throw new Error(`dist/assets has no ${named}: run scripts/build first.`);
  return readFileSync(path.join(ASSETS, file), form);
}

/**
 * Time in which two workers reckon every grain of the harbour on a plate of this size at pixels of about
 * `px_um`, s. They are started from what the build put into `assets/`.
 */
export function grainRun(page, plate, px_um) {
  const [source, packed] = [asset(/^plate-worker-\w+\.js$/, 'utf8'), asset(/^plate-\w+\.wasm$/, 'base64')];
  return page.evaluate(async ([size, px, script, wasm]) => {
    const [TILE_WIDTH_UM, TILE_HEIGHT_UM] = [9600, 19_200];
    const OUT_UM = 50;
    const url = URL.createObjectURL(new Blob([script], { type: 'text/javascript' }));
    const module = await WebAssembly.compile(Uint8Array.from(atob(wasm), (letter) => letter.charCodeAt(0)));
    const start = () => {
      const worker = new Worker(url);
      worker.postMessage(module);
      let id = 0;
      return (call, ...args) => new Promise((resolve, reject) => {
        worker.onmessage = ({ data }) => ('answer' in data ? resolve(data.answer) : reject(new Error(data.failed ?? data.panic)));
        worker.postMessage({ id: id++, call, args });
      });
    };
    const workers = [start(), start()];
    const { default_plan } = await workers[0]('catalogue');
    const plan = { ...default_plan, plate: { ...default_plan.plate, ...size } };
    await Promise.all(workers.map(async (ask) => {
      await ask('take_harbour', null);
      const { problems } = await ask('take_plan', plan, 0, 'both');
      if (problems.some(({ severity }) => severity === 'error')) throw new Error(problems[0].sentence.metric);
    }));
    const columns = Math.ceil((size.width_mm * 1000) / TILE_WIDTH_UM);
    const rows = Math.ceil((size.height_mm * 1000) / TILE_HEIGHT_UM);
    const begun = performance.now();
    // Each worker its own half of the plate, so that it finds again the ground it has laid.
    await Promise.all(workers.map(async (ask, lane) => {
      for (let row = Math.floor((lane * rows) / 2); row < Math.floor(((lane + 1) * rows) / 2); row++) {
        for (let column = 0; column < columns; column++) {
          await ask('tile', column, row, TILE_WIDTH_UM, TILE_HEIGHT_UM, OUT_UM, px, 0);
        }
      }
    }));
    return (performance.now() - begun) / 1000;
  }, [plate, px_um, source, packed]);
}
