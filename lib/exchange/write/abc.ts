import { itemAt } from '../../base';
import type { Timeline } from '../../song';
import type { Key } from '../../theory';
import { beatTicks, type Meter, meterName, TICKS_PER_QUARTER, type Ticks } from '../../time';
import type { Written } from './musicxml';
import { type Piece, piecesOf } from './pieces';
import { type Score, type ScoreBar, scoreOf } from './score';
import { signatureOf, spell } from './spelling';

/** L:1/8. */
const UNIT = TICKS_PER_QUARTER / 2;
/** Where no words break the lines. */
const BARS_IN_LINE = 4;

/** A note or sign of the music code, with the words under it by stanza (null: a note without a word of its own). */
interface Code {
  readonly text: string;
  readonly under: readonly (string | null)[] | null;
  readonly endsLine: boolean;
}

/**
 * A timeline as an ABC 2.1 tune: a voice for each voice, `w:` lines for the stanzas, chords, parts by name, repeats and endings,
 * lines where the lines of the words end. Source: ABC standard 2.1.
 */
export function writeAbc(timeline: Timeline): Written {
  const score = scoreOf(timeline);
  const { song } = score;
  const leftOut = [...score.leftOut];
  if (song.feel.ratio !== 1) leftOut.push('swing: eighths are written even');
  const odd = /[\\*_|]/;
  if (
    song.notes.some(({ syllables }) =>
      syllables.some((syllable) => syllable !== null && odd.test(syllable.text)),
    )
  )
    leftOut.push('the signs \\ * _ | within words, which mean something else there');
  const untuned = song.notes.filter(({ midi }) => midi === null).length;
  if (untuned > 0) leftOut.push(`${untuned} notes whose tune is not written; they stand on one pitch`);
  const first = score.bars[0];
  const key = first?.key ?? song.key;
  const meter = first?.meter ?? { count: 4, unit: 4 };
  const tempo = first?.tempo ?? null;
  const head = [
    'X:1',
    `T:${oneLine(song.title)}`,
    `M:${meterName(meter)}`,
    'L:1/8',
    ...(tempo === null ? [] : [`Q:1/4=${tempo}`]),
    `K:${keyText(key)}`,
  ];
  const many = song.voices.length > 1;
  const voices = song.voices.length > 0 ? song.voices : [null];
  const bodies = voices.flatMap((voice, v) => [
    ...(many && voice ? [`V:${v + 1} name="${oneLine(voice.name).replace(/"/g, "'")}"`] : []),
    ...bodyOf(score, v, key, meter),
  ]);
  return { content: `${[...head, ...bodies].join('\n')}\n`, leftOut };
}

const oneLine = (text: string): string => text.replace(/\s+/g, ' ').replace(/%/g, '\\%').trim();

const MODES: Readonly<Record<Key['mode'], string>> = {
  major: '',
  minor: 'm',
  dorian: 'dor',
  phrygian: 'phr',
  lydian: 'lyd',
  mixolydian: 'mix',
  locrian: 'loc',
};
const keyText = ({ tonic, mode }: Key): string => tonic + MODES[mode];

function bodyOf(score: Score, v: number, firstKey: Key, firstMeter: Meter): string[] {
  const lines: string[] = [];
  let codes: Code[] = [];
  let key = firstKey;
  let barsInLine = 0;
  const hasWords = score.words.stanzas > 0;
  const flush = () => {
    if (codes.some(({ text }) => text.trim() !== '')) {
      lines.push(
        codes
          .map(({ text }) => text)
          .join('')
          .replace(/ {2,}/g, ' ')
          .trim(),
      );
      lines.push(...wordLines(codes, score.words.stanzas));
    }
    codes = [];
    barsInLine = 0;
  };
  score.bars.forEach((bar, i) => {
    if (bar.label !== null && v === 0) {
      flush();
      lines.push(`P:${oneLine(bar.label)}`);
    }
    const before = score.bars[i - 1];
    const signs: string[] = [];
    if (i > 0 && bar.key !== null) signs.push(`[K:${keyText(bar.key)}]`);
    if (i > 0 && bar.newMeter) signs.push(`[M:${meterName(bar.meter)}]`);
    if (i > 0 && bar.tempo !== null && v === 0) signs.push(`[Q:1/4=${bar.tempo}]`);
    key = bar.key ?? key;
    codes.push(sign(barStart(bar, before) + signs.join('')));
    for (const code of barCodes(score, bar, v, i === 0 ? firstKey : key, i === 0 ? firstMeter : bar.meter)) {
      codes.push(code);
      if (code.endsLine) flush();
    }
    codes.push(sign(barEnd(bar, score.bars[i + 1])));
    barsInLine += 1;
    if (!hasWords && barsInLine >= BARS_IN_LINE) flush();
  });
  flush();
  return lines;
}

const sign = (text: string): Code => ({ text, under: null, endsLine: false });

/** Repeat and ending signs before a bar; the barline itself stands at the end of the bar before. */
function barStart({ repeats }: ScoreBar, before: ScoreBar | undefined): string {
  const opens =
    repeats.start && (before === undefined || before.repeats.end === 1) ? '|: ' : repeats.start ? '' : '';
  const ending = repeats.begins ? `[${repeats.ending.join(',')} ` : '';
  return opens + ending;
}

function barEnd({ repeats }: ScoreBar, after: ScoreBar | undefined): string {
  if (repeats.end > 1) return after?.repeats.start ? ' :: ' : ' :| ';
  if (after === undefined) return ' |]';
  if (after.repeats.start) return ' ';
  return after.label !== null || repeats.stops ? ' || ' : ' | ';
}

function barCodes(score: Score, bar: ScoreBar, v: number, key: Key, meter: Meter): Code[] {
  const chords = v === 0 ? bar.chords : [];
  const events = bar.voices[v] ?? [{ offset: 0, ticks: bar.ticks, note: null, goesOn: false, heldOn: false }];
  const pieces = piecesOf(
    events,
    bar.ticks,
    chords.map(({ offset }) => offset),
  );
  const said = new Map<string, number>();
  const beat = beatTicks(meter);
  return pieces.map((piece, i) => {
    const chord = chords.find(({ offset }) => offset === piece.offset);
    const group = piece.opens ? `(3:2:${groupSize(pieces, i)}` : '';
    const next = pieces[i + 1];
    const short = piece.value.ticks < TICKS_PER_QUARTER && next !== undefined && next.offset % beat !== 0;
    const text = `${chord ? `"${chord.symbol.replace(/"/g, "'")}"` : ''}${group}${noteCode(piece, key, said)}${short ? '' : ' '}`;
    const { note } = piece.event;
    if (note === null) return sign(text);
    const under = piece.first ? score.words.under(note) : [];
    const words = Array.from({ length: score.words.stanzas }, (_, s) => {
      const syllable = under.find(({ stanza }) => stanza === s + 1);
      return syllable ? escapeWord(syllable.text) + (syllable.joins ? '-' : '') : null;
    });
    return {
      text,
      under: words,
      endsLine: piece.last && score.words.under(note).some(({ endsLine }) => endsLine),
    };
  });
}

const groupSize = (pieces: readonly Piece[], from: number): number => {
  const end = pieces.findIndex(({ closes }, i) => i >= from && closes);
  return (end < 0 ? pieces.length : end + 1) - from;
};

/** One note or rest; `said` holds the accidentals of the bar so far. */
function noteCode({ value, event, last, tiedOn }: Piece, key: Key, said: Map<string, number>): string {
  const ticks: Ticks = value.triplet ? (value.ticks * 3) / 2 : value.ticks;
  const length = lengthCode(ticks);
  if (event.note === null) return `z${length}`;
  const { midi, breath, fermata } = event.note.note;
  const { letter, alter, octave } = spell(midi ?? 67, key);
  const place = `${letter}${octave}`;
  const now = said.get(place) ?? signatureOf(key, letter);
  // A note that is tied over a barline keeps its accidental, but says it anew.
  const accidental = alter === now ? '' : itemAt(['__', '_', '=', '^', '^^'], alter + 2);
  said.set(place, alter);
  const name = octave >= 5 ? letter.toLowerCase() + "'".repeat(octave - 5) : letter + ','.repeat(4 - octave);
  const hold = (fermata && last ? '!fermata!' : '') + (breath && last ? '!breath!' : '');
  const tie = tiedOn ? '-' : '';
  return `${hold}${accidental}${name}${length}${tie}`;
}

function lengthCode(ticks: Ticks): string {
  const divisor = greatestCommonDivisor(ticks, UNIT);
  const [top, bottom] = [ticks / divisor, UNIT / divisor];
  return `${top === 1 ? '' : top}${bottom === 1 ? '' : `/${bottom}`}`;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}

/** What has a meaning of its own in a line of words is written so that it is read as itself. */
const escapeWord = (text: string): string =>
  text
    .replace(/\s+/g, '~')
    .replace(/[\\*_|]/g, '')
    .replace(/-/g, '\\-')
    .replace(/%/g, '\\%');

/** Lines of words under the notes of one line of music: `_` where a syllable is held, `*` before the first. */
function wordLines(codes: readonly Code[], stanzas: number): string[] {
  const lines: string[] = [];
  for (let s = 0; s < stanzas; s++) {
    const under = codes.flatMap((code) => (code.under === null ? [] : [code.under[s] ?? null]));
    const last = under.findLastIndex((word) => word !== null);
    if (last < 0) {
      lines.push('w: *');
      continue;
    }
    let text = '';
    let held = false;
    for (const word of under) {
      if (word === null) text += held ? '_ ' : '* ';
      else text += word.endsWith('-') && !word.endsWith('\\-') ? word : `${word} `;
      held = word !== null || held;
    }
    lines.push(`w: ${text.trim()}`);
  }
  while (lines[lines.length - 1] === 'w: *') lines.pop();
  return lines;
}
