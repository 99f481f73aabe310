/* What drafts go by in the browser's stores: apart from all else, since the script that stands in the page itself reads them, too. */

/** Before the name of a tab's draft. */
export const DRAFT = 'platewright.draft.';
/** In the session: the name of this tab's draft. */
export const TAB = 'platewright.tab';
