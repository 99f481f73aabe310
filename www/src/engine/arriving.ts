/*
 * The parts that a hosted page opens with: asked for by the script that stands in the page itself, long before the
 * script that needs them is there, and counted as they come in.
 */

declare global {
  interface HTMLElement {
    /** The answer to what a block of the page names, where it has been asked for. */
    arriving?: Promise<Response> | undefined;
  }
}

/** Blocks whose parts the page can't open without. */
const early = (): HTMLElement[] => [...document.querySelectorAll<HTMLElement>('script[data-first]')];

/** Asks for all that the page opens with; `hear` is told of every piece that comes in, as a share of the whole. */
export function askEarly(hear: (share: number) => void): void {
  const blocks = early();
  const whole = blocks.reduce((sum, block) => sum + Number(block.dataset.bytes), 0);
  let got = 0;
  for (const block of blocks) {
    block.arriving = fetch(block.dataset.src ?? '');
    // Whoever uses the part tells of what goes wrong with it.
    block.arriving.then((answer) => count(answer.clone())).catch(() => undefined);
  }

  async function count({ body }: Response): Promise<void> {
    for (const reader = body?.getReader(); reader;) {
      const { done, value } = await reader.read();
      if (done) return;
      got += value.length;
      hear(Math.min(1, got / whole));
    }
  }
}
