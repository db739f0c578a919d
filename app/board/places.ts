import { type Arrangement, type Line, type PassLines, syllablesOfVoice } from '../../lib/parts';
import { type ChordMark, lastNoteOfWord, type Song, type Voice } from '../../lib/song';
import { barTicks, beatsSaid, beatTicks, isCompound, type Ticks } from '../../lib/time';

/** A word of a line where it is sung, and can be chosen. */
export interface WordPlace {
  readonly kind: 'word';
  readonly passId: string | null;
  readonly lineKey: string;
  readonly noteId: string;
  readonly tick: Ticks;
  /** Until when it is held. */
  readonly endTick: Ticks;
  readonly text: string;
  readonly joins: boolean;
}

/** A beat of a line (or where a chord stands between beats), where a chord is, or could be. */
export interface ChordPlace {
  readonly kind: 'chord';
  readonly passId: string | null;
  readonly lineKey: string;
  readonly barId: string;
  readonly offset: Ticks;
  readonly tick: Ticks;
  readonly chord: ChordMark | null;
}

export type LinePlace = WordPlace | ChordPlace;

/** What of a place stays when lines are cut anew: by this it is found again. */
export type At =
  | { readonly kind: 'word'; readonly passId: string | null; readonly noteId: string }
  | {
      readonly kind: 'chord';
      readonly passId: string | null;
      readonly barId: string;
      readonly offset: Ticks;
    };

export const atOf = (place: LinePlace): At =>
  place.kind === 'word'
    ? { kind: 'word', passId: place.passId, noteId: place.noteId }
    : { kind: 'chord', passId: place.passId, barId: place.barId, offset: place.offset };

/** A place as a text, to find its element. */
export const atKey = (at: At): string =>
  at.kind === 'word' ? `word ${at.passId} ${at.noteId}` : `chord ${at.passId} ${at.barId} ${at.offset}`;

/** The words of a line in the order in which they are sung, of its top voice or another; each once, though it be drawn in two pieces. */
function wordsIn(
  { timeline }: Arrangement,
  pass: PassLines,
  line: Line,
  voiceId: string | null,
): readonly WordPlace[] {
  const syllables =
    voiceId === null
      ? line.segments.flatMap((segment) => segment.syllables)
      : syllablesOfVoice(timeline, voiceId, line.startTick, line.endTick);
  return syllables.map(
    ({ noteId, startTick, endTick, text, joins }): WordPlace => ({
      kind: 'word',
      passId: pass.passId,
      lineKey: line.key,
      noteId,
      tick: startTick,
      endTick,
      text,
      joins,
    }),
  );
}

/** The voices that sing in the line of a place, the top one first. */
export function voicesAt({ song, timeline, passes }: Arrangement, place: LinePlace): readonly Voice[] {
  const line = passes.flatMap((pass) => pass.lines).find(({ key }) => key === place.lineKey);
  if (!line) return [];
  const { startTick, endTick } = line;
  const isSung = ({ id }: Voice) => syllablesOfVoice(timeline, id, startTick, endTick).length > 0;
  const top = line.segments.flatMap(({ syllables }) => syllables)[0]?.noteId;
  const topId = song.notes.find(({ id }) => id === top)?.voiceId;
  const isTop = ({ id }: Voice) => (id === topId ? 0 : 1);
  return song.voices.filter(isSung).sort((a, b) => isTop(a) - isTop(b));
}

/** Every beat of a line, and every chord between beats. */
export function chordsIn(song: Song, pass: PassLines, line: Line): readonly ChordPlace[] {
  return line.segments.flatMap((segment) => {
    const { id: barId } = segment.bar.bar;
    const ticks = new Set([...segment.beats, ...segment.chords.map(({ tick }) => tick)]);
    return [...ticks]
      .sort((a, b) => a - b)
      .map((tick): ChordPlace => {
        const offset = tick - segment.bar.startTick;
        const chord = song.chords.find((one) => one.barId === barId && one.offset === offset) ?? null;
        return { kind: 'chord', passId: pass.passId, lineKey: line.key, barId, offset, tick, chord };
      });
  });
}

/** The places of a whole song in two rows: its words, and its beats. */
export interface Places {
  readonly words: readonly WordPlace[];
  readonly chords: readonly ChordPlace[];
}

/** @param voiceId whose words; null: those of each line's top voice */
export function placesOf(arrangement: Arrangement, voiceId: string | null = null): Places {
  const { song, passes } = arrangement;
  const lines = passes.flatMap((pass) => pass.lines.map((line) => [pass, line] as const));
  return {
    words: lines.flatMap(([pass, line]) => wordsIn(arrangement, pass, line, voiceId)),
    chords: lines.flatMap(([pass, line]) => chordsIn(song, pass, line)),
  };
}

export function placeAt(places: Places, at: At): LinePlace | null {
  const key = atKey(at);
  const row: readonly LinePlace[] = at.kind === 'word' ? places.words : places.chords;
  return row.find((place) => atKey(atOf(place)) === key) ?? null;
}

/** The place before or after another in its row, into the next line too. */
export function nextPlace(places: Places, place: LinePlace, by: 1 | -1): LinePlace | null {
  const row: readonly LinePlace[] = place.kind === 'word' ? places.words : places.chords;
  const at = row.findIndex((one) => atKey(atOf(one)) === atKey(atOf(place)));
  return at < 0 ? null : (row[at + by] ?? null);
}

/** The place of the other row that is nearest in time. */
export function acrossFrom(places: Places, place: LinePlace): LinePlace | null {
  const row: readonly LinePlace[] = place.kind === 'word' ? places.chords : places.words;
  return nearest(
    row.filter((one) => one.lineKey === place.lineKey),
    place.tick,
  );
}

export function nearest(row: readonly LinePlace[], tick: Ticks): LinePlace | null {
  let best: LinePlace | null = null;
  for (const place of row)
    if (best === null || Math.abs(place.tick - tick) < Math.abs(best.tick - tick)) best = place;
  return best;
}

/** The note after which a word's phrase would end. */
export const endNoteOf = ({ timeline }: Arrangement, word: WordPlace): string =>
  lastNoteOfWord(timeline, word.passId, word.noteId);

/** `bar 17, beat 2 and a half`. */
export function beatInWords({ timeline }: Arrangement, tick: Ticks): string {
  const bar = timeline.barAt(tick);
  const beat = beatTicks(bar.bar.meter);
  // A pickup is the end of a bar.
  const missing = bar.bar.pickup ? Math.max(0, barTicks(bar.bar.meter) - bar.bar.ticks) : 0;
  const inBar = tick - bar.startTick + missing;
  const where = bar.bar.pickup ? 'the pickup' : `bar ${bar.number}`;
  return `${where}, beat ${beatsSaid(1 + inBar / beat)}`;
}

/** The next place of the grid before or after a tick: halves of a beat, thirds of a counted beat in compound meters. */
export function gridStep({ timeline }: Arrangement, tick: Ticks, by: 1 | -1): Ticks {
  // Going back from a barline is going into the bar before.
  const bar = timeline.barAt(by < 0 ? Math.max(0, tick - 1) : tick);
  const step = beatTicks(bar.bar.meter) / (isCompound(bar.bar.meter) ? 3 : 2);
  const phase = bar.bar.pickup ? bar.bar.ticks % step : 0;
  const inBar = (tick - bar.startTick - phase) / step;
  const next = by > 0 ? Math.floor(inBar) + 1 : Math.ceil(inBar) - 1;
  return Math.min(bar.endTick, bar.startTick + phase + next * step);
}

/** In the line before or after: coming down to it, its chords; coming up to it, its words. */
export function rowBeyond(places: Places, place: LinePlace, by: 1 | -1): LinePlace | null {
  const lines = [...new Set(places.chords.map(({ lineKey }) => lineKey))];
  const lineKey = lines[lines.indexOf(place.lineKey) + by];
  const inLine = (one: LinePlace) => one.lineKey === lineKey;
  const words = places.words.filter(inLine);
  const chords = places.chords.filter(inLine);
  const row: readonly LinePlace[] = by > 0 || words.length === 0 ? chords : words;
  const own: readonly LinePlace[] = place.kind === 'word' ? places.words : places.chords;
  const start = own.find((one) => one.lineKey === place.lineKey)?.tick ?? place.tick;
  return nearest(row, (row[0]?.tick ?? 0) + place.tick - start);
}
