import { itemAt } from '../base';
import type { Syllable } from '../song';
import type { MidiFile, MidiText } from './midi-parse';

/** A syllable where it is sung, in the file's ticks. */
export interface SungSyllable extends Syllable {
  readonly tick: number;
}

export interface MidiWords {
  readonly syllables: readonly SungSyllable[];
  /** The track in which they stand; null without words. */
  readonly track: number | null;
  /** As `@T` of a karaoke file says it. */
  readonly title: string | null;
}

/**
 * The words of a MIDI file: its lyric events, or, where it has none, its text events, if they are written as in karaoke files (lines begin
 * with `/`, stanzas with `\`). A syllable ends its word where a blank, a line or no hyphen follows; files without blanks and hyphens have
 * a word to an event. Common practice, no source.
 */
export function wordsOf(file: MidiFile): MidiWords {
  const lyrics = mostOf(file.texts.filter(({ kind, text }) => kind === 'lyric' && text !== ''));
  const marked = mostOf(file.texts.filter(({ kind, text }) => kind === 'text' && LINE.test(text)));
  const track = marked[0]?.track;
  const karaoke = file.texts.filter(
    (each) => each.kind === 'text' && each.track === track && /^[^@%]/.test(each.text),
  );
  const first = karaoke.findIndex(({ text }) => LINE.test(text));
  const chosen = lyrics.length > 0 ? lyrics : marked.length >= 2 ? karaoke.slice(first) : [];
  const title =
    file.texts
      .find(({ text }) => text.startsWith('@T'))
      ?.text.slice(2)
      .trim() || null;
  return { syllables: syllablesOf(chosen), track: chosen[0]?.track ?? null, title };
}

const LINE = /^[/\\]\s*[^\s/\\]/;

/** Those of the track that has most of them. */
function mostOf(texts: readonly MidiText[]): readonly MidiText[] {
  const counts = new Map<number, number>();
  for (const { track } of texts) counts.set(track, (counts.get(track) ?? 0) + 1);
  const [most] = [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
  return texts.filter(({ track }) => track === most?.[0]);
}

interface Piece {
  readonly tick: number;
  readonly text: string;
  readonly newLine: boolean;
  readonly blankBefore: boolean;
  readonly blankAfter: boolean;
  readonly hyphen: boolean;
}

function syllablesOf(texts: readonly MidiText[]): SungSyllable[] {
  let newLine = false;
  const pieces: Piece[] = [];
  for (const { tick, text } of texts) {
    const begins = /^\s*[/\\\r\n]/.test(text);
    const plain = text.replace(/[/\\\r\n]+/g, ' ');
    const trimmed = plain.trim();
    if (trimmed === '' || trimmed === '-') {
      newLine ||= /[/\\\r\n]/.test(text);
      const before = pieces[pieces.length - 1];
      if (before && /\s/.test(text)) pieces[pieces.length - 1] = { ...before, blankAfter: true };
      continue;
    }
    pieces.push({
      tick,
      text: trimmed.replace(/(?<=.)-+$/, '').slice(0, 200),
      newLine: newLine || begins,
      blankBefore: /^\s/.test(plain),
      blankAfter: /\s$/.test(plain),
      hyphen: /.-$/.test(trimmed),
    });
    newLine = /[\r\n]\s*$/.test(text) || /.[/\\]\s*$/.test(text);
  }
  const blanks = pieces.filter(({ blankBefore, blankAfter }) => blankBefore || blankAfter).length;
  const byBlanks = blanks * 10 > pieces.length;
  return pieces.map((piece, i) => {
    const next = pieces[i + 1];
    const ends = !next || next.newLine || piece.blankAfter || next.blankBefore;
    const joins = piece.hyphen || (byBlanks && !ends);
    return {
      tick: piece.tick,
      text: piece.text,
      joins: next !== undefined && joins,
      endsLine: !next || next.newLine,
    };
  });
}

/** How many syllables fall on notes, of 1, where each note may begin within `near` of one. */
export function shareOnNotes(
  syllables: readonly SungSyllable[],
  onsets: readonly number[],
  near: number,
): number {
  if (syllables.length === 0) return 0;
  let on = 0;
  let i = 0;
  for (const { tick } of syllables) {
    while (
      i + 1 < onsets.length &&
      Math.abs(itemAt(onsets, i + 1) - tick) <= Math.abs(itemAt(onsets, i) - tick)
    )
      i += 1;
    if (onsets.length > 0 && Math.abs(itemAt(onsets, i) - tick) <= near) on += 1;
  }
  return on / syllables.length;
}
