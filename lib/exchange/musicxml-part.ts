import { type Key, keySignature, transposeChord, transposeKey } from '../theory';
import { barTicks, type Meter, TICKS_PER_QUARTER, type Ticks } from '../time';
import { readDirection, readSound } from './musicxml-directions';
import { chordSymbolOf } from './musicxml-harmony';
import { readNote } from './musicxml-note';
import type { ScorePart } from './musicxml-score';
import type { PartMeasure, PartRead, PartState } from './musicxml-types';
import type { Findings } from './report';
import { child, childrenOf, numberOf, textOf, type XmlElement } from './xml-tree';

/** Reads the measures of one part. `stanzas` is shared by all parts, so that a lyric's number means the same in each. */
export function readPart(part: ScorePart, stanzas: Map<string, number>, findings: Findings): PartRead {
  const state: PartState = {
    divisions: 1,
    meter: { count: 4, unit: 4 },
    shift: 0,
    key: null,
    voices: new Map(),
    stanzas,
    next: {},
  };
  const measures = part.measures.map((measure, index) => readMeasure(measure, index, state, findings));
  return { part, measures, voices: [...state.voices.values()] };
}

function readMeasure(element: XmlElement, index: number, state: PartState, findings: Findings): PartMeasure {
  const measure: PartMeasure = {
    at: element.at,
    implicit: element.attributes.implicit === 'yes',
    content: 0,
    meter: state.meter,
    key: state.next.key ?? null,
    tempo: state.next.tempo ?? null,
    swing: null,
    label: state.next.label ?? null,
    startRepeat: false,
    endRepeat: 1,
    doubled: false,
    ending: null,
    chords: [],
    notes: new Map(),
  };
  state.next = {};
  let position = 0;
  let onset = 0;
  const ticks = (each: XmlElement) =>
    Math.max(0, ((numberOf(each, 'duration') ?? 0) * TICKS_PER_QUARTER) / state.divisions);
  for (const each of element.children) {
    const offset = ((numberOf(each, 'offset') ?? 0) * TICKS_PER_QUARTER) / state.divisions;
    const there = Math.max(0, Math.round(position + offset));
    if (each.name === 'attributes') readAttributes(each, measure, index, there, state, findings);
    else if (each.name === 'backup') position = Math.max(0, position - ticks(each));
    else if (each.name === 'forward') position += ticks(each);
    else if (each.name === 'harmony') readHarmony(each, measure, there, state, findings);
    else if (each.name === 'direction') readDirection(each, measure, index, there, state, findings);
    else if (each.name === 'sound') readSound(each, measure, index, there, state, findings);
    else if (each.name === 'barline') readBarline(each, measure, findings);
    else if (each.name === 'note') {
      const chord = child(each, 'chord') !== null;
      if (!chord) onset = position;
      const length = child(each, 'grace') ? 0 : ticks(each);
      readNote(each, measure, Math.round(onset), Math.round(onset + length), chord, state, findings);
      if (!chord) position += length;
    }
    measure.content = Math.max(measure.content, Math.round(position));
  }
  return measure;
}

function readAttributes(
  element: XmlElement,
  measure: PartMeasure,
  index: number,
  position: Ticks,
  state: PartState,
  findings: Findings,
): void {
  const divisions = numberOf(element, 'divisions');
  if (divisions !== null && divisions > 0) state.divisions = divisions;
  for (const time of childrenOf(element, 'time')) {
    const meter = meterOf(time);
    if (meter === null) findings.leftOut('a time signature that cannot be read', time.at);
    else if (position > 0) findings.leftOut('a time signature within a bar', time.at);
    else {
      state.meter = meter;
      measure.meter = meter;
    }
  }
  const transpose = child(element, 'transpose');
  if (transpose)
    state.shift = Math.round(
      (numberOf(transpose, 'chromatic') ?? 0) + 12 * (numberOf(transpose, 'octave-change') ?? 0),
    );
  const key = child(element, 'key');
  if (key || transpose) {
    const read = key ? keyOf(key) : state.key;
    if (key && read === null) findings.leftOut('a key signature that cannot be read', key.at);
    if (read === null) return;
    const first = state.key === null && index === 0;
    const changed =
      state.key === null || keySignature(state.key) !== keySignature(read) || state.key.mode !== read.mode;
    state.key = read;
    const sounded = state.shift % 12 === 0 ? read : transposeKey(read, ((state.shift % 12) + 12) % 12);
    if (!changed && !transpose) return;
    if (position > 0 && !first) state.next.key = sounded;
    else measure.key = sounded;
  }
  if (child(child(element, 'measure-style'), 'measure-repeat'))
    findings.leftOutEach('a sign that repeats a bar', (n) => `${n} signs that repeat a bar`, element.at);
}

/** `3/4`, `3+2/8` as 5/8, several signatures of one unit summed up. */
function meterOf(time: XmlElement): Meter | 'free' | null {
  if (child(time, 'senza-misura')) return 'free';
  const beats = childrenOf(time, 'beats').map(({ text }) =>
    text.split('+').reduce((sum, part) => sum + Number(part), 0),
  );
  const units = childrenOf(time, 'beat-type').map(({ text }) => Number(text));
  const unit = Math.max(...units);
  const count = beats.reduce((sum, each, i) => sum + (each * unit) / (units[i] ?? unit), 0);
  return Number.isInteger(count) && count >= 1 && count <= 64 && [1, 2, 4, 8, 16, 32].includes(unit)
    ? { count, unit }
    : null;
}

function keyOf(key: XmlElement): Key | null {
  const fifths = numberOf(key, 'fifths');
  if (fifths === null || Math.abs(fifths) > 7) return null;
  const said = textOf(key, 'mode') ?? 'major';
  const mode = (['minor', 'dorian', 'phrygian', 'lydian', 'mixolydian', 'locrian'] as const).find(
    (each) => each === said || (said === 'aeolian' && each === 'minor'),
  );
  for (const letter of 'FCGDAEB')
    for (const accidental of ['', '#', 'b']) {
      const found: Key = { tonic: letter + accidental, mode: mode ?? 'major' };
      if (keySignature(found) === fifths) return found;
    }
  return null;
}

function readHarmony(
  element: XmlElement,
  measure: PartMeasure,
  offset: Ticks,
  state: PartState,
  findings: Findings,
): void {
  const symbol = chordSymbolOf(element);
  if (symbol === null) {
    findings.leftOut('a chord that is given by its function, not by its letter', element.at);
    return;
  }
  const key = state.key ?? { tonic: 'C', mode: 'major' as const };
  const sounded =
    state.shift % 12 === 0
      ? symbol
      : transposeChord(symbol, state.shift, transposeKey(key, ((state.shift % 12) + 12) % 12));
  measure.chords.push({ at: element.at, offset, symbol: sounded.slice(0, 60) });
}

function readBarline(element: XmlElement, measure: PartMeasure, findings: Findings): void {
  const style = textOf(element, 'bar-style') ?? '';
  const left = element.attributes.location === 'left';
  const repeat = child(element, 'repeat');
  if (repeat?.attributes.direction === 'forward') measure.startRepeat = true;
  else if (repeat) {
    const times = Number(repeat.attributes.times ?? 2);
    measure.endRepeat = times >= 2 && times <= 60 ? Math.round(times) : 2;
  }
  if (!left && /light-light|light-heavy|heavy-heavy/.test(style)) measure.doubled = true;
  const ending = child(element, 'ending');
  if (ending?.attributes.type === 'start') {
    const numbers = (ending.attributes.number ?? '').match(/\d{1,2}/g)?.map(Number) ?? [];
    measure.ending = numbers.filter((number) => number >= 1 && number <= 60);
    if (measure.ending.length === 0) {
      measure.ending = null;
      findings.leftOut('an ending without a number', ending.at);
    }
  } else if (ending && !repeat) measure.doubled = true;
}

/** Length of a measure that says nothing of it. */
export function fullTicks(meter: Meter | 'free'): Ticks {
  return meter === 'free' ? 4 * TICKS_PER_QUARTER : barTicks(meter);
}
