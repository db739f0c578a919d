/** Fields that a song does not hold, in words for the report; null: not worth a word (numbering, remarks). */
export const UNHELD: Readonly<Record<string, { one: string; many: string } | null>> = {
  X: null,
  Z: null,
  r: null,
  A: { one: 'an author or area (A:)', many: 'lines of authors or areas (A:)' },
  B: { one: 'a book (B:)', many: 'books (B:)' },
  C: { one: 'an author or composer (C:)', many: 'lines of authors or composers (C:)' },
  D: { one: 'a recording (D:)', many: 'recordings (D:)' },
  F: { one: 'a file address (F:)', many: 'file addresses (F:)' },
  G: { one: 'a group (G:)', many: 'groups (G:)' },
  H: { one: 'a line of history (H:)', many: 'lines of history (H:)' },
  N: { one: 'a remark (N:)', many: 'remarks (N:)' },
  O: { one: 'an origin (O:)', many: 'origins (O:)' },
  R: { one: 'a rhythm by name (R:)', many: 'rhythms by name (R:)' },
  S: { one: 'a source (S:)', many: 'sources (S:)' },
  W: {
    one: 'a line of words below the tune (W:), which lies under no notes',
    many: 'lines of words below the tune (W:), which lie under no notes',
  },
  s: { one: 'a symbol line (s:)', many: 'symbol lines (s:)' },
  m: { one: 'a macro (m:)', many: 'macros (m:)' },
};
