// Style sheets are imported for their effect only; the bundler gathers them.
declare module '*.css';
// Those of parts fetched later come with the part.
declare module '*.css?sheet' {
  const sheet: CSSStyleSheet;
  export default sheet;
}
