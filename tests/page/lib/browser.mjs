// The little of a browser that the page's modules ask for when they are read. Import it before any of them.

globalThis.matchMedia ??= () => ({ matches: false });
globalThis.document ??= { documentElement: { dataset: {} }, adoptedStyleSheets: [] };
globalThis.addEventListener ??= () => undefined;
globalThis.navigator ??= { hardwareConcurrency: 4 };
globalThis.location ??= { href: 'https://example.org/platewright/', protocol: 'https:', hash: '', pathname: '/platewright/', search: '' };
// Node's own would keep a test from ending.
globalThis.BroadcastChannel = class BroadcastChannel {
  addEventListener() {}
  postMessage() {}
};
globalThis.CSSStyleSheet ??= class CSSStyleSheet {
  media = { mediaText: '' };
  replaceSync() {}
};

/** Words with plain spaces, as one types them. */
export const plain = (words) => words.replaceAll('\u00a0', ' ');
