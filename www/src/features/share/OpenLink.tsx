import { useState } from 'preact/hooks';
import { offerLink } from '../../store/links.ts';
import { panel } from '../../store/notifications.ts';

/** Where a link can be pasted or typed. */
export function OpenLink() {
  const [text, setText] = useState('');
  const [wrong, setWrong] = useState<string | null>(null);
  const open = async (): Promise<void> => {
    const here = panel.value;
    const sentence = await offerLink(text);
    setWrong(sentence);
    // A lesson has laid itself over the page by now.
    if (sentence === null && panel.value === here) panel.value = null;
  };
  return (
    <form class="open-link" onSubmit={(event) => { event.preventDefault(); void open(); }}>
      <h3><label for="open-link">Open a link</label></h3>
      <div class="open-link-line">
        <input id="open-link" value={text} autocomplete="off" spellcheck={false} placeholder="Paste or type it here"
          aria-invalid={wrong !== null} aria-describedby="open-link-wrong" onInput={(event) => { setText(event.currentTarget.value); setWrong(null); }} />
        <button type="submit" class="act">Open</button>
      </div>
      <p id="open-link-wrong" class={wrong === null ? '' : 'problem'} role="status">{wrong}</p>
    </form>
  );
}
