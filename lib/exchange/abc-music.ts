import type AbcjsParse from 'abcjs/src/parse/abc_parse.js';
import type { AbcjsElement } from 'abcjs/src/parse/abc_parse.js';
import { itemAt, lastOf } from '../base';
import type { Syllable } from '../song';
import type { Key } from '../theory';
import { barTicks, isCompound, type Meter, TICKS_PER_QUARTER, type Ticks, ticksOf } from '../time';
import type { Alterations } from './abc-fields';
import type { Mark, ScannedTune, VoiceText } from './abc-scan';
import type { Findings } from './report';

/** A note as one sign of the file; ties still join two of them. */
export interface RawNote {
  readonly at: number;
  readonly bar: number;
  readonly offset: Ticks;
  ticks: Ticks;
  readonly midi: number;
  /** A tie is written after it. */
  tied: boolean;
  fermata: boolean;
  breath: boolean;
  readonly syllables: (Syllable | null)[];
}

/** A bar of one voice, with what its barlines say. */
export interface VoiceBar {
  readonly at: number;
  ticks: Ticks;
  meter: Meter | 'free';
  key: Key | null;
  tempo: number | null;
  part: string | null;
  startRepeat: boolean;
  endRepeat: boolean;
  /** A double or final barline closes it. */
  doubled: boolean;
  ending: readonly number[] | null;
  readonly chords: { readonly at: number; readonly offset: Ticks; readonly symbol: string }[];
  readonly notes: RawNote[];
}

export type Parser = typeof AbcjsParse;

const WHOLE = 4 * TICKS_PER_QUARTER;
const LETTERS = ['C', 'D', 'E', 'F', 'G', 'A', 'B'];
const SEMITONES = [0, 2, 4, 5, 7, 9, 11];
const SIGNS: Readonly<Record<string, number>> = {
  sharp: 1,
  dblsharp: 2,
  flat: -1,
  dblflat: -2,
  natural: 0,
  quartersharp: 0,
  quarterflat: 0,
};
/** Longer than any sung note: 64 whole notes. */
const LONGEST = 64;

/**
 * The bars of one voice. abcjs reads the code (pitches, lengths, broken rhythm, bars); keys, meters, accidentals within the bar and
 * tuplets are worked out here from the fields and the code's own places.
 * Source: ABC standard 2.1, sections 4.1 to 4.17.
 */
export function readMusic(
  tune: ScannedTune,
  voice: VoiceText,
  Parse: Parser,
  findings: Findings,
): VoiceBar[] {
  const { elements, code, placeOf, warnings } = parseVoice(tune, voice, Parse, findings);
  for (const { at, text } of warnings) findings.leftOut(text, at);
  const reader = new BarReader(tune, voice, findings);
  for (const element of elements) {
    const from = element.startChar ?? 0;
    const slice = code.slice(from, element.endChar ?? from);
    const at = placeOf(from + (slice.length - slice.trimStart().length));
    const end = placeOf(from + Math.max(1, slice.trimEnd().length) - 1) + 1;
    reader.marksBefore(end);
    if (element.el_type === 'bar') reader.barline(element, at, slice);
    else reader.note(element, at, slice);
  }
  return reader.finish();
}

function parseVoice(tune: ScannedTune, voice: VoiceText, Parse: Parser, findings: Findings) {
  const head = `X:1\nL:1/${Math.round(1 / tune.unit) || 8}\nK:C\n`;
  const unitLine = Number.isInteger(1 / tune.unit) ? '' : `L:${fractionOf(tune.unit)}\n`;
  const starts: number[] = [];
  const places: (number | null)[] = [];
  let code = head + unitLine;
  for (const piece of voice.pieces) {
    starts.push(code.length);
    places.push(piece.at === null ? null : piece.at - 1);
    code += piece.at === null ? `${piece.text}\n` : ` ${piece.text}\n`;
  }
  const placeOf = (index: number): number => {
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (itemAt(starts, middle) <= index) low = middle;
      else high = middle - 1;
    }
    return (places[low] ?? 0) + index - (starts[low] ?? 0);
  };
  const elements: AbcjsElement[] = [];
  const warnings: { at: number; text: string }[] = [];
  try {
    const parser = new Parse();
    parser.parse(code, {}, 0);
    for (const line of parser.getTune().lines) {
      for (const staff of line.staff ?? []) {
        for (const elementsOfVoice of staff.voices) {
          for (const element of elementsOfVoice)
            if (element.el_type === 'note' || element.el_type === 'bar') elements.push(element);
        }
      }
    }
    for (const warning of parser.getWarningObjects() ?? []) {
      const text = sayWarning(warning.message, code.charAt(warning.startChar));
      if (text !== null) warnings.push({ at: placeOf(warning.startChar), text });
    }
  } catch {
    findings.leftOut(`the music of voice ${voice.id}: its code cannot be read`, places[0] ?? tune.at);
    new Parse().parse('X:1\nK:C\nC|\n', {}, 0);
  }
  return { elements, code, placeOf, warnings };
}

function fractionOf(unit: number): string {
  for (let under = 1; under <= 64; under++) {
    const over = unit * under;
    if (Math.abs(over - Math.round(over)) < 1e-9) return `${Math.round(over)}/${under}`;
  }
  return '1/8';
}

function sayWarning(message: string, sign: string): string | null {
  if (message.startsWith('Unknown character')) return `a sign that music does not use: "${sign}"`;
  if (message.startsWith('Unknown bar')) return 'a barline that ABC does not know';
  if (message.startsWith("Expected ']'")) return 'a chord in brackets that is not closed';
  if (message.startsWith("Can't nest")) return 'a tuplet inside a tuplet';
  return null;
}

class BarReader {
  readonly #tune: ScannedTune;
  readonly #findings: Findings;
  readonly #marks: readonly Mark[];
  readonly #bars: VoiceBar[] = [];
  #markIndex = 0;
  #bar: VoiceBar;
  /** In whole notes from the bar's start; rounded to ticks only where a note stands. */
  #position = 0;
  #meter: Meter | 'free';
  #signature: Alterations;
  #shift: number;
  #alterations = new Map<string, number>();
  /** Of the note before, if a tie is written after it: staff step and alteration. */
  #tie: { step: number; alter: number } | null = null;
  #tuplet: { left: number; times: number } | null = null;
  #fermata = false;
  #breath = false;
  #pendingKey: Key | null = null;
  #lastNote: RawNote | null = null;

  constructor(tune: ScannedTune, voice: VoiceText, findings: Findings) {
    this.#tune = tune;
    this.#findings = findings;
    this.#marks = [...voice.marks].sort((a, b) => a.at - b.at);
    this.#meter = tune.meter ?? 'free';
    this.#signature = tune.key.alterations ?? {};
    this.#shift = voice.shift ?? tune.key.shift ?? 0;
    this.#bar = this.#emptyBar(tune.at);
  }

  #emptyBar(at: number): VoiceBar {
    return {
      at,
      ticks: 0,
      meter: this.#meter,
      key: null,
      tempo: null,
      part: null,
      startRepeat: false,
      endRepeat: false,
      doubled: false,
      ending: null,
      chords: [],
      notes: [],
    };
  }

  /** Carries out all that stands in the file before a place. */
  marksBefore(end: number): void {
    for (;;) {
      const mark = this.#marks[this.#markIndex];
      if (!mark || mark.at >= end) return;
      this.#markIndex += 1;
      this.#mark(mark);
    }
  }

  #mark(mark: Mark): void {
    switch (mark.kind) {
      case 'key':
        if (mark.key.alterations) this.#signature = mark.key.alterations;
        if (mark.key.shift !== null) this.#shift = mark.key.shift;
        this.#alterations.clear();
        if (mark.key.key && this.#position === 0) this.#bar.key = mark.key.key;
        else this.#pendingKey = mark.key.key;
        return;
      case 'meter':
        this.#meter = mark.meter;
        if (this.#position === 0) this.#bar.meter = mark.meter;
        return;
      case 'tempo':
        if (this.#position > 0)
          this.#findings.guessed(
            `a change of tempo inside a bar was put at the bar's start (${this.#findings.sayPlace(mark.at)})`,
          );
        this.#bar.tempo = mark.quartersPerMinute;
        return;
      case 'part':
        if (this.#position > 0) this.#closeBar(mark.at);
        this.#bar.part = mark.label;
        return;
      case 'chord': {
        const offset = this.#tick();
        const there = this.#bar.chords.some((chord) => chord.offset === offset);
        if (there) this.#findings.leftOut(`a second chord symbol at one place: "${mark.symbol}"`, mark.at);
        else this.#bar.chords.push({ at: mark.at, offset, symbol: mark.symbol });
        return;
      }
      case 'fermata':
        this.#fermata = true;
        return;
      case 'breath':
        this.#breath = true;
    }
  }

  #tick(): Ticks {
    return Math.round(this.#position * WHOLE);
  }

  #closeBar(at: number): void {
    this.#bar.ticks = this.#tick();
    this.#bars.push(this.#bar);
    const ahead = this.#bar.chords.filter((chord) => chord.offset >= this.#bar.ticks);
    if (ahead.length > 0) {
      const kept = this.#bar.chords.filter((chord) => chord.offset < this.#bar.ticks);
      this.#bar.chords.splice(0, this.#bar.chords.length, ...kept);
    }
    this.#bar = this.#emptyBar(at);
    for (const chord of ahead) this.#bar.chords.push({ ...chord, offset: 0 });
    this.#bar.key = this.#pendingKey;
    this.#pendingKey = null;
    this.#position = 0;
    this.#alterations.clear();
  }

  barline(element: AbcjsElement, at: number, slice: string): void {
    const type = element.type ?? '';
    const last = this.#lastNote;
    if (last && this.#fermata) last.fermata = true;
    if (last && this.#breath) last.breath = true;
    this.#fermata = false;
    this.#breath = false;
    // A dotted barline divides a bar for the eye only.
    if (slice.trim().startsWith('.')) return;
    if (this.#position > 0) this.#closeBar(at);
    const before = this.#bars[this.#bars.length - 1];
    if (before) {
      if (type === 'bar_right_repeat' || type === 'bar_dbl_repeat') before.endRepeat = true;
      if (type === 'bar_thin_thin' || type === 'bar_thin_thick' || type === 'bar_thick_thin')
        before.doubled = true;
    }
    if (type === 'bar_left_repeat' || type === 'bar_dbl_repeat') this.#bar.startRepeat = true;
    if (element.startEnding !== undefined) {
      const numbers = readEnding(element.startEnding);
      if (numbers) this.#bar.ending = numbers;
      else this.#findings.leftOut(`an ending that says no number: "${element.startEnding}"`, at);
    }
  }

  note(element: AbcjsElement, at: number, slice: string): void {
    if (element.gracenotes)
      this.#findings.leftOutEach('a group of grace notes', (n) => `${n} groups of grace notes`, at);
    this.#startTuplet(element, slice);
    const rest = element.rest?.type;
    if (rest === 'spacer') return;
    if (rest?.endsWith('multimeasure')) {
      this.#wholeBars(element.rest?.text ?? 1, at);
      return;
    }
    let length = element.duration ?? 0;
    if (this.#tuplet) {
      length *= this.#tuplet.times;
      this.#tuplet.left -= 1;
      if (this.#tuplet.left <= 0) this.#tuplet = null;
    }
    if (!(length > 0 && length <= LONGEST)) {
      this.#findings.leftOut('a note or rest that has no length, or more than 64 whole notes', at);
      return;
    }
    const from = this.#tick();
    this.#position += length;
    const ticks = this.#tick() - from;
    if (element.pitches && ticks > 0) this.#sung(element, at, from, ticks);
    else {
      if (this.#lastNote && this.#breath) this.#lastNote.breath = true;
      this.#tie = null;
    }
    this.#fermata = false;
    this.#breath = false;
  }

  #sung(element: AbcjsElement, at: number, offset: Ticks, ticks: Ticks): void {
    const tie = this.#tie;
    this.#tie = null;
    let highest = -1;
    let tied = false;
    for (const pitch of element.pitches ?? []) {
      const step = pitch.pitch;
      const letter = itemAt(LETTERS, ((step % 7) + 7) % 7);
      if (pitch.accidental?.startsWith('quarter'))
        this.#findings.leftOutEach('a quarter tone', (n) => `${n} quarter tones`, at);
      const alter = this.#alterOf(step, letter, pitch.accidental, tie);
      const midi =
        60 + 12 * Math.floor(step / 7) + itemAt(SEMITONES, ((step % 7) + 7) % 7) + alter + this.#shift;
      if (midi <= highest) continue;
      highest = midi;
      tied = pitch.startTie !== undefined;
      this.#tie = tied ? { step, alter } : null;
    }
    if (highest < 0 || highest > 127) {
      this.#findings.leftOut('a note that lies beyond all hearing', at);
      return;
    }
    if ((element.pitches?.length ?? 0) > 1)
      this.#findings.leftOutEach(
        'the lower notes of a chord in brackets',
        (n) => `the lower notes of ${n} chords in brackets`,
        at,
      );
    const note: RawNote = {
      at,
      bar: this.#bars.length,
      offset,
      ticks,
      midi: highest,
      tied,
      fermata: this.#fermata,
      breath: this.#breath,
      syllables: [],
    };
    this.#bar.notes.push(note);
    this.#lastNote = note;
  }

  #alterOf(
    step: number,
    letter: string,
    accidental: string | undefined,
    tie: { step: number; alter: number } | null,
  ): number {
    const place = this.#tune.propagate === 'octave' ? String(step) : letter;
    if (accidental !== undefined) {
      const alter = SIGNS[accidental] ?? 0;
      if (this.#tune.propagate !== 'not') this.#alterations.set(place, alter);
      return alter;
    }
    if (tie && tie.step === step) return tie.alter;
    return this.#alterations.get(place) ?? this.#signature[letter] ?? 0;
  }

  #startTuplet(element: AbcjsElement, slice: string): void {
    if (element.startTriplet === undefined) return;
    const match = /\((\d)(?::(\d{0,2}))?(?::(\d{0,2}))?/.exec(slice);
    const count = Number(match?.[1] ?? element.startTriplet);
    const time = Number(match?.[2] || 0) || this.#timeOf(count);
    const notes = Number(match?.[3] || 0) || count;
    this.#tuplet = { left: notes, times: time / count };
  }

  /** In the time of how many notes a tuplet stands. Source: ABC standard 2.1, section 4.13. */
  #timeOf(count: number): number {
    if (count === 3 || count === 6) return 2;
    if (count === 2 || count === 4 || count === 8) return 3;
    return this.#meter !== 'free' && isCompound(this.#meter) ? 3 : 2;
  }

  #wholeBars(count: number, at: number): void {
    const bars = Math.max(1, Math.min(count, 1000));
    const length = (this.#meter === 'free' ? WHOLE : barTicks(this.#meter)) / WHOLE;
    for (let i = 0; i < bars; i++) {
      if (this.#position > 0) this.#closeBar(at);
      this.#position += length;
    }
    this.#tie = null;
  }

  finish(): VoiceBar[] {
    this.marksBefore(Number.POSITIVE_INFINITY);
    if (this.#position > 0) this.#closeBar(this.#bar.at);
    for (const chord of this.#bar.chords)
      this.#findings.leftOut(`a chord symbol with no note after it: "${chord.symbol}"`, chord.at);
    return this.#bars;
  }
}

/** `1`, `1,3`, `1-3`; null where it is none. */
function readEnding(text: string): number[] | null {
  const numbers: number[] = [];
  for (const part of text.split(',')) {
    const match = /^(\d{1,2})(?:-(\d{1,2}))?$/.exec(part.trim());
    if (!match) continue;
    const from = Number(match[1]);
    const to = Number(match[2] ?? match[1]);
    for (let n = from; n <= to && numbers.length < 20; n++) if (n >= 1) numbers.push(n);
  }
  return numbers.length > 0 ? numbers : null;
}

/** Joins tied notes of one pitch, within bars and across them; a tie to another pitch joins nothing. */
export function joinTies(bars: readonly VoiceBar[], onTwoSyllables: (note: RawNote) => void): RawNote[] {
  const joined: RawNote[] = [];
  let endTick = 0;
  let tick = 0;
  for (const bar of bars) {
    for (const note of bar.notes) {
      const before = joined.length > 0 ? lastOf(joined) : null;
      if (before?.tied && before.midi === note.midi && endTick === tick + note.offset) {
        before.ticks += note.ticks;
        before.fermata ||= note.fermata;
        before.breath = note.breath;
        joinSyllables(before, note, onTwoSyllables);
        before.tied = note.tied;
      } else {
        joined.push(note);
      }
      endTick = tick + note.offset + note.ticks;
    }
    tick += bar.ticks;
  }
  return joined;
}

/** A syllable under the second of two tied notes has no onset of its own: it is sung on the first, after the first one. */
function joinSyllables(note: RawNote, next: RawNote, onTwo: (note: RawNote) => void): void {
  next.syllables.forEach((syllable, stanza) => {
    while (note.syllables.length <= stanza) note.syllables.push(null);
    const first = note.syllables[stanza] ?? null;
    if (!syllable) return;
    if (first) onTwo(next);
    note.syllables[stanza] = first
      ? { ...syllable, text: `${first.text}${first.joins ? '' : ' '}${syllable.text}`.slice(0, 200) }
      : syllable;
  });
}

export const quartersOf = (ticks: Ticks): string => String(Math.round((ticks / ticksOf(1, 4)) * 100) / 100);
