import type { InstrumentName } from '../../lib/instruments';
import { readsNotation } from '../../lib/parts';
import type { FillNote, Player } from '../../lib/song';
import { pitchName } from '../../lib/theory';

/** Who said something. */
export const nameOf = (players: readonly Player[], id: string | null): string =>
  players.find((player) => player.id === id)?.name ?? 'Somebody';

/** When something was said, by this device's clock and language. */
export const whenInWords = (at: number): string =>
  new Intl.DateTimeFormat(undefined, {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
  }).format(at);

/** The notes for who hears the page: string and fret of each, with its stroke. */
export function notesInWords(played: readonly FillNote[], instrument: InstrumentName): string {
  const notes = played.map((note) => {
    const how = note.stroke ?? (note.articulation === 'struck' ? '' : note.articulation);
    if (note.string === 0) return `${pitchName(note.midi, 'sharps')} ${note.word ?? ''}`.trim();
    return `string ${note.string} ${note.fret === 0 ? 'open' : `fret ${note.fret}`}${how ? ` ${how}` : ''}`;
  });
  return `${readsNotation(instrument) ? 'Notation' : 'Tablature'}: ${notes.join(', ')}`;
}
