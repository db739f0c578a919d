/**
 * The page's title, in the tree of the page itself: it comes and goes with the page's words in one step. One beside
 * them, as the router would carry it, leaves a page that is gone to without a title for a moment.
 */
export function Title({ of }: { readonly of?: string | undefined }) {
  return <title>{of === undefined ? 'Breathmark' : `${of} · Breathmark`}</title>;
}
