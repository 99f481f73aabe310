import { unpacked } from './engine/z85.ts';

/*
 * In the one file the page's script is packed, as its other parts are: this unpacks it. The policy of the page names
 * the script by its hash, so that nothing else can take its place.
 */

const block = document.getElementById('page-script');
if (block) {
  void unpacked(block.textContent ?? '', Number(block.dataset.bytes)).text().then((text) => {
    const script = document.createElement('script');
    script.textContent = text;
    block.replaceWith(script);
  });
}
