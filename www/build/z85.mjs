// Bytes as text that stands in a page: Z85 (ZeroMQ RFC 32), five letters for four bytes, where base64 takes a third more
// than the bytes. `www/src/engine/z85.ts` reads it.

const LETTERS = '0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.-:+=^!/*?&<>()[]{}@%$#';

/** The bytes as text; zeros after them fill the last four. */
export function z85(bytes) {
  const whole = Buffer.concat([bytes, Buffer.alloc((4 - (bytes.length % 4)) % 4)]);
  let text = '';
  for (let at = 0; at < whole.length; at += 4) {
    let word = whole.readUInt32BE(at);
    let five = '';
    for (let i = 0; i < 5; i += 1) {
      five = LETTERS[word % 85] + five;
      word = Math.floor(word / 85);
    }
    text += five;
  }
  return text;
}
