import type { AbcjsElement } from 'abcjs/src/parse/abc_parse.js';
import { itemAt } from '../base';
import type { Key } from '../theory';
import { barTicks, isCompound, type Meter, TICKS_PER_QUARTER, type Ticks } from '../time';
import { type Parser, parseVoice } from './abc-code';
import type { Alterations } from './abc-fields';
import type { Mark, RawNote, ScannedTune, Slurs, VoiceBar, VoiceText } from './abc-types';
import type { Findings } from './report';

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
  /** What the next sign of repeat says. */
  #times = 2;
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
      endRepeat: 1,
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
        if (this.#bar.chords.at(-1)?.offset === offset)
          this.#findings.leftOut(`a second chord symbol at one place: "${mark.symbol}"`, mark.at);
        else this.#bar.chords.push({ at: mark.at, offset, symbol: mark.symbol });
        return;
      }
      case 'times':
        this.#times = mark.times;
        return;
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
      if (type === 'bar_right_repeat' || type === 'bar_dbl_repeat') before.endRepeat = this.#times;
      if (type === 'bar_thin_thin' || type === 'bar_thin_thick' || type === 'bar_thick_thin')
        before.doubled = true;
    }
    this.#times = 2;
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
    const from = this.#tick();
    const ticks = Math.round((this.#position + length) * WHOLE) - from;
    if (!(ticks > 0 && length <= LONGEST)) {
      this.#findings.leftOut('a note or rest that has no length, or more than 64 whole notes', at);
      return;
    }
    this.#position += length;
    if (element.pitches) this.#sung(element, at, from, ticks);
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
      ...slursOf(element),
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

function slursOf(element: AbcjsElement): { readonly slurs?: Slurs } {
  const signs = [element, ...(element.pitches ?? [])];
  const starts = signs.flatMap(({ startSlur }) => startSlur?.map(({ label }) => String(label)) ?? []);
  const ends = signs.flatMap(({ endSlur }) => endSlur?.map(String) ?? []);
  return starts.length + ends.length === 0 ? {} : { slurs: { starts, ends } };
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
