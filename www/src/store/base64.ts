/* Bytes in the letters of a file (RFC 4648). */

export function base64(bytes: Uint8Array): string {
  let letters = '';
  for (let i = 0; i < bytes.length; i += 8192) letters += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return btoa(letters);
}

export function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
}
