/** The name of one shared document, read. */
export type DocumentName =
  | { readonly kind: 'band'; readonly bandId: string }
  | { readonly kind: 'song'; readonly bandId: string; readonly songId: string };

const ID = /^[0-9A-Za-z_-]{1,80}$/;

/** Whether a text can be an id in an address or a document's name: letters, digits, `-` and `_`, at most 80. */
export const isId = (text: string): boolean => ID.test(text);

/** `band.BAND` */
export const bandDocument = (bandId: string): string => `band.${bandId}`;

/** `song.BAND.SONG` */
export const songDocument = (bandId: string, songId: string): string => `song.${bandId}.${songId}`;

/** Null for anything that is not the name of a document. */
export function parseDocument(name: string): DocumentName | null {
  const [kind, bandId, songId, ...more] = name.split('.');
  if (bandId === undefined || !isId(bandId) || more.length > 0) return null;
  if (kind === 'band' && songId === undefined) return { kind, bandId };
  if (kind === 'song' && songId !== undefined && isId(songId)) return { kind, bandId, songId };
  return null;
}
