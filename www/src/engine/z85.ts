/** What each letter of Z85 (ZeroMQ RFC 32) stands for, from `!` on. */
const LETTERS = '0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.-:+=^!/*?&<>()[]{}@%$#';

/** The first `length` bytes of what `www/build/z85.mjs` wrote as text: four for every five letters. */
function fromZ85(text: string, length: number): Uint8Array<ArrayBuffer> {
  const worth = new Uint8Array(128);
  for (let i = 0; i < LETTERS.length; i += 1) worth[LETTERS.charCodeAt(i)] = i;
  const bytes = new DataView(new ArrayBuffer((text.length / 5) * 4));
  for (let at = 0, to = 0; at < text.length; to += 4) {
    let word = 0;
    for (const end = at + 5; at < end; at += 1) word = word * 85 + (worth[text.charCodeAt(at)] ?? 0);
    bytes.setUint32(to, word);
  }
  return new Uint8Array(bytes.buffer, 0, length);
}

/** What the build has compressed into `bytes` and written as such text. */
export function unpacked(text: string, bytes: number): Response {
  return new Response(new Blob([fromZ85(text, bytes)]).stream().pipeThrough(new DecompressionStream('deflate-raw')));
}
