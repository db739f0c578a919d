import type { InstrumentName } from '../../lib/instruments';
import { inWords, readsNotation } from '../../lib/parts';
import type { FillNote, Player, Tally } from '../../lib/song';
import { pitchName } from '../../lib/theory';

/** Who said something. */
export const nameOf = (players: readonly Player[], id: string | null): string =>
  players.find((player) => player.id === id)?.name ?? 'Somebody';

/** What a margin says of a talk: `One thing is said, not answered yet`. */
export function saidInWords({ said, waits }: { readonly said: number; readonly waits: boolean }): string {
  const words = inWords(said);
  const count = `${words.charAt(0).toUpperCase()}${words.slice(1)} ${said === 1 ? 'thing is' : 'things are'} said`;
  return waits ? `${count}, not answered yet,` : count;
}

/** Who said yes and no to what was put to the band, and what has become of it. */
export function votesInWords(tally: Tally, players: readonly Player[]): string {
  const said = (what: string, ids: readonly string[]) =>
    ids.length === 0 ? [] : [`${what}: ${ids.map((id) => nameOf(players, id)).join(', ')}`];
  const votes = [...said('yes', tally.yes), ...said('no', tally.no)].join('; ');
  if (tally.carried) return `Carried, ${votes}. Anybody may settle it.`;
  const needs = `${inWords(tally.missing)} ${tally.yes.length === 0 ? '' : 'more '}yes`;
  if (votes === '') return `Nobody has said yes or no yet; ${needs} would carry it.`;
  if (!tally.canCarry) return `It cannot be carried any more as it stands, ${votes}.`;
  return `${votes.charAt(0).toUpperCase()}${votes.slice(1)}; ${needs} would carry it.`;
}

/** The notes for who hears the page: string and fret of each, with its stroke. */
export function notesInWords(played: readonly FillNote[], instrument: InstrumentName): string {
  const notes = played.map((note) => {
    const how = note.stroke ?? (note.articulation === 'struck' ? '' : note.articulation);
    if (note.string === 0) return `${pitchName(note.midi, 'sharps')} ${note.word ?? ''}`.trim();
    return `string ${note.string} ${note.fret === 0 ? 'open' : `fret ${note.fret}`}${how ? ` ${how}` : ''}`;
  });
  return `${readsNotation(instrument) ? 'Notation' : 'Tablature'}: ${notes.join(', ')}`;
}
