/**
 * Copies what stands in a field, and gives what to say of it. Without a secure connection (plain http) browsers
 * give a page no clipboard: then the field is selected, for the user to copy.
 */
export async function copyFrom(field: HTMLTextAreaElement | HTMLInputElement): Promise<string> {
  try {
    const clipboard = navigator.clipboard as Clipboard | undefined;
    if (!clipboard) throw new Error('no clipboard here');
    await clipboard.writeText(field.value);
    return 'Copied.';
  } catch {
    field.focus();
    field.select();
    return 'The browser does not let this page copy. The link is selected: press Ctrl+C (⌘C on a Mac), or hold a finger on it and choose “Copy”.';
  }
}
