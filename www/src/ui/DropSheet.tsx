import { useEffect } from 'preact/hooks';
import { signal } from '@preact/signals';
import { take } from '../store/fileActs.ts';
import { panel } from '../store/notifications.ts';

/** Something that can be taken is held over the page. */
const over = signal(false);

function dropWords(): string {
  if (panel.value === 'record') return 'Let go to put this photograph in the record, or open this file';
  return panel.value === 'pulled' ? 'Let go to read this proof' : 'Let go to lay this picture, or open this plan';
}

/** Takes a picture or plan dropped anywhere on the page, or pasted. */
export function DropSheet() {
  useEffect(() => {
    let depth = 0;
    const carries = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;
    const enter = (event: DragEvent): void => { if (carries(event)) { depth += 1; over.value = true; } };
    const leave = (): void => { depth = Math.max(0, depth - 1); if (depth === 0) over.value = false; };
    const hover = (event: DragEvent): void => { if (carries(event)) event.preventDefault(); };
    const drop = (event: DragEvent): void => {
      depth = 0;
      over.value = false;
      const files = event.dataTransfer?.files ?? [];
      if (files.length === 0) return;
      event.preventDefault();
      void take(files);
    };
    const paste = (event: ClipboardEvent): void => {
      const files = event.clipboardData?.files ?? [];
      if (files.length === 0) return;
      event.preventDefault();
      void take(files);
    };
    addEventListener('dragenter', enter);
    addEventListener('dragleave', leave);
    addEventListener('dragover', hover);
    addEventListener('drop', drop);
    addEventListener('paste', paste);
    return () => {
      removeEventListener('dragenter', enter);
      removeEventListener('dragleave', leave);
      removeEventListener('dragover', hover);
      removeEventListener('drop', drop);
      removeEventListener('paste', paste);
    };
  }, []);
  if (!over.value) return null;
  return <div class="drop-sheet"><p>{dropWords()}</p></div>;
}
