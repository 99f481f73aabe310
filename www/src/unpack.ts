import { clearFault, sayFault } from './engine/opening.ts';
import { TOO_OLD } from './engine/partFault.ts';
import { unpacked } from './engine/z85.ts';

/*
 * In the one file the page's script is packed, as its other parts are: this unpacks it. The policy of the page names
 * the script by its hash, so that nothing else can take its place.
 */

const block = document.getElementById('page-script');
if (block) {
  clearFault();
  // Compression Streams are the newest thing that is asked of a browser here.
  new Promise<string>((resolve) => { resolve(unpacked(block.textContent ?? '', Number(block.dataset.bytes)).text()); }).then((text) => {
    const script = document.createElement('script');
    script.textContent = text;
    block.replaceWith(script);
  }).catch(() => {
    sayFault(typeof DecompressionStream === 'function'
      ? 'This file is not whole: it was cut short, or changed on its way. Ask for it again.'
      : TOO_OLD, null, () => undefined);
  });
}
