import { fromZ85 } from './engine/z85.ts';

/*
 * In the one file the page's script is packed, as its other parts are: this unpacks it. The policy of the page names
 * the script by its hash, so that nothing else can take its place.
 */

const block = document.getElementById('page-script');
if (block) {
  const packed = new Blob([fromZ85(block.textContent ?? '', Number(block.dataset.bytes))]);
  void new Response(packed.stream().pipeThrough(new DecompressionStream('deflate-raw'))).text().then((text) => {
    const script = document.createElement('script');
    script.textContent = text;
    block.replaceWith(script);
  });
}
