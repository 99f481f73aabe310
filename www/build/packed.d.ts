// A folder's JSON files as one list, compressed by `packed.mjs`.
declare module '*?packed' {
  const packed: { text: string; bytes: number };
  export default packed;
}
