import { clearFault, sayFault } from './engine/opening.ts';
import { TOO_OLD } from './engine/partFault.ts';
import { unpacked } from './engine/z85.ts';

/*
 * In the one file the page's script and its letters are packed, as its other parts are: this unpacks them. The policy of the
 * page names both by their hashes, so that nothing else can take their place.
 */

const textOf = (block: HTMLElement): Promise<string> => unpacked(block.textContent ?? '', Number(block.dataset.bytes)).text();

const block = document.getElementById('page-script');
if (block) {
  clearFault();
  // Compression Streams are the newest thing that is asked of a browser here.
  new Promise<string>((resolve) => { resolve(textOf(block)); }).then((text) => {
    const script = document.createElement('script');
    script.textContent = text;
    block.replaceWith(script);
  }).catch(() => {
    sayFault(typeof DecompressionStream === 'function'
      ? 'This file is not whole: it was cut short, or changed on its way. Ask for it again.'
      : TOO_OLD, null, () => undefined);
  });
}

const letters = document.getElementById('letters');
if (letters && typeof DecompressionStream === 'function') {
  // Until then, and where they cannot be had, the machine's own serve.
  textOf(letters).then((text) => {
    const style = document.createElement('style');
    style.textContent = text;
    letters.replaceWith(style);
  }).catch(() => undefined);
}
