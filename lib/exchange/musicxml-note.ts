import type { Syllable } from '../song';
import type { Ticks } from '../time';
import type { RawNote, Slurs } from './abc-types';
import type { PartMeasure, PartState } from './musicxml-types';
import type { Findings } from './report';
import { child, childrenOf, numberOf, textOf, type XmlElement } from './xml-tree';

const STEPS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** A note with pitch: joined to its measure, its voice known from then on; of a chord the highest is kept. */
export function readNote(
  element: XmlElement,
  measure: PartMeasure,
  offset: Ticks,
  end: Ticks,
  chord: boolean,
  state: PartState,
  findings: Findings,
): void {
  const leave = (one: string, many: string) => findings.leftOutEach(one, (n) => `${n} ${many}`, element.at);
  if (child(element, 'grace')) {
    leave('a grace note', 'grace notes');
    return;
  }
  if (child(element, 'cue')) {
    leave('a cue note', 'cue notes');
    return;
  }
  if (child(element, 'rest')) return;
  const pitch = child(element, 'pitch');
  // Words on a beat whose tune is not written; without words it is something that is struck.
  if (!pitch && !child(element, 'lyric')) {
    leave('a note without pitch', 'notes without pitch');
    return;
  }
  if (end <= offset) {
    leave('a note without a length', 'notes without a length');
    return;
  }
  const midi = pitch ? midiOf(pitch, state.shift, () => findings.sayPlace(element.at), findings) : null;
  if (midi !== null && (midi < 0 || midi > 127)) {
    leave('a note beyond all that can be sung', 'notes beyond all that can be sung');
    return;
  }

  const id = textOf(element, 'voice') ?? '1';
  let voice = state.voices.get(id);
  if (!voice) {
    voice = { voice: id, staff: numberOf(element, 'staff') ?? 1, words: false };
    state.voices.set(id, voice);
  }
  const notations = childrenOf(element, 'notations');
  const articulations = notations.flatMap((each) => childrenOf(each, 'articulations'));
  const ties = [...childrenOf(element, 'tie'), ...notations.flatMap((each) => childrenOf(each, 'tied'))];
  const syllables = syllablesOf(element, state, findings);
  if (syllables.some((each) => each)) voice.words = true;
  const note: RawNote = {
    at: element.at,
    bar: 0,
    offset,
    ticks: end - offset,
    midi,
    tied: ties.some((tie) => tie.attributes.type === 'start' || tie.attributes.type === 'let-ring'),
    fermata: notations.some((each) => child(each, 'fermata') !== null),
    breath: articulations.some((each) => child(each, 'breath-mark') ?? child(each, 'caesura')),
    ...slursOf(notations),
    syllables,
  };
  const notes = measure.notes.get(id) ?? [];
  measure.notes.set(id, notes);
  const before = notes[notes.length - 1];
  if (chord && before && before.offset === offset) {
    leave('the lower note of a chord', 'lower notes of chords');
    notes[notes.length - 1] = joined(
      (midi ?? -1) > (before.midi ?? -1) ? note : before,
      (midi ?? -1) > (before.midi ?? -1) ? before : note,
    );
  } else notes.push(note);
}

function slursOf(notations: readonly XmlElement[]): { readonly slurs?: Slurs } {
  const slurs = notations.flatMap((each) => childrenOf(each, 'slur'));
  const of = (type: string) =>
    slurs.flatMap(({ attributes }) => (attributes.type === type ? (attributes.number ?? '1') : []));
  return slurs.length === 0 ? {} : { slurs: { starts: of('start'), ends: of('stop') } };
}

function midiOf(pitch: XmlElement, shift: number, sayPlace: () => string, findings: Findings): number {
  const alter = numberOf(pitch, 'alter') ?? 0;
  const step = STEPS[textOf(pitch, 'step') ?? ''] ?? 0;
  if (alter !== Math.round(alter))
    findings.guessed(`a quarter tone was read as the nearest half tone (${sayPlace()})`);
  return Math.round(step + alter + 12 * ((numberOf(pitch, 'octave') ?? 4) + 1) + shift);
}

/** The higher note of a chord, with the words and signs of either. */
function joined(higher: RawNote, lower: RawNote): RawNote {
  return {
    ...higher,
    fermata: higher.fermata || lower.fermata,
    breath: higher.breath || lower.breath,
    syllables: higher.syllables.length > 0 ? higher.syllables : lower.syllables,
  };
}

function syllablesOf(element: XmlElement, state: PartState, findings: Findings): (Syllable | null)[] {
  const syllables: (Syllable | null)[] = [];
  for (const lyric of childrenOf(element, 'lyric')) {
    const texts = lyric.children.filter(
      ({ name }) => name === 'text' || name === 'elision' || name === 'syllabic',
    );
    let text = '';
    let syllabic = 'single';
    for (const each of texts) {
      if (each.name === 'text') text += each.text.replace(/\s+/g, ' ');
      else if (each.name === 'syllabic') syllabic = each.text.trim();
      else text += each.text.trim() === '' ? ' ' : each.text.replace(/[\u203f\u2040_]/g, ' ');
    }
    if (child(lyric, 'humming') ?? child(lyric, 'laughing'))
      findings.leftOutEach(
        'a note that is hummed or laughed',
        (n) => `${n} notes that are hummed or laughed`,
        lyric.at,
      );
    const stanza = stanzaOf(lyric, state);
    while (syllables.length <= stanza) syllables.push(null);
    if (text.trim() === '') continue;
    syllables[stanza] = {
      text: text.trim().slice(0, 200),
      joins: syllabic === 'begin' || syllabic === 'middle',
      endsLine: child(lyric, 'end-line') !== null || child(lyric, 'end-paragraph') !== null,
    };
  }
  return syllables.some((each) => each) ? syllables : [];
}

/** Lyrics are told apart by number, else by name; numbers from 1 are stanzas, other marks take the next free one. */
function stanzaOf(lyric: XmlElement, state: PartState): number {
  const mark = lyric.attributes.number ?? lyric.attributes.name ?? '1';
  const known = state.stanzas.get(mark);
  if (known !== undefined) return known;
  const taken = new Set(state.stanzas.values());
  const number = Number(/\d{1,2}$/.exec(mark)?.[0] ?? 0) - 1;
  let stanza = number >= 0 && number < 60 && !taken.has(number) ? number : 0;
  while (taken.has(stanza) && stanza < 59) stanza += 1;
  state.stanzas.set(mark, stanza);
  return stanza;
}
