import {
  type Bar,
  type Pass,
  type Song,
  type SungNote,
  type Syllable,
  UNDECIDED,
  type Voice,
  type VoicePart,
} from '../../../lib/song';
import { barTicks, type Meter, parseMeter, type Ticks } from '../../../lib/time';

export const QUARTER = 960;

/** One voice, written small: `1` a quarter note, `2` a half, `.5` an eighth, `z3` a rest of three quarters. */
export interface TinyVoice {
  readonly part: VoicePart;
  readonly notes: string;
  /** By stanza; words parted by spaces, syllables by `-`, `*` holds the syllable before, `/` after a word ends a line. */
  readonly words?: readonly string[];
  readonly playerId?: string;
}

export interface TinySection {
  readonly name: string;
  readonly voices: readonly TinyVoice[];
  /** How many bars (without the pickup); by default as many as the notes fill. */
  readonly bars?: number;
  /** Quarters in a pickup bar. */
  readonly pickup?: number;
}

/** A song made by hand, for tests: sections of equal bars, notes laid end to end. */
export function tinySong(
  sections: readonly TinySection[],
  options: { meter?: string; tempo?: number; passes?: readonly Partial<Pass>[] } = {},
): Song {
  const meter = parseMeter(options.meter ?? '4/4') ?? { count: 4, unit: 4 };
  const parts = sections[0]?.voices ?? [];
  const voices: Voice[] = parts.map((voice, i) => ({
    id: `v${i + 1}`,
    name: voice.part,
    part: voice.part,
    playerId: voice.playerId ?? null,
    range: null,
  }));
  const notes: SungNote[] = [];
  const built = sections.map((section, s) => {
    const longest = Math.max(0, ...section.voices.map((voice) => lengthOf(voice.notes)));
    const pickup = (section.pickup ?? 0) * QUARTER;
    const count = section.bars ?? Math.ceil((longest - pickup) / barTicks(meter));
    const bars = makeBars(`s${s + 1}`, meter, count, pickup);
    section.voices.forEach((voice, v) => {
      notes.push(...layNotes(voice, `v${v + 1}`, `s${s + 1}v${v + 1}`, bars));
    });
    return { id: `s${s + 1}`, name: section.name, bars };
  });
  const passes = (options.passes ?? []).map((pass, i) => ({
    id: `p${i + 1}`,
    sectionId: 's1',
    stanza: 1,
    ending: 1,
    name: '',
    roles: {},
    ...pass,
  }));
  return {
    id: 'tiny',
    title: 'Tiny',
    key: { tonic: 'G', mode: 'major' },
    tempo: options.tempo ?? 100,
    feel: { ratio: 1 },
    sections: built,
    passes,
    voices,
    notes,
    chords: [],
    settings: [],
    settled: [],
    proposals: [],
    votes: [],
    comments: [],
    ...UNDECIDED,
  };
}

function makeBars(sectionId: string, meter: Meter, count: number, pickup: Ticks): Bar[] {
  const bar = (id: string, ticks: Ticks, isPickup: boolean): Bar => ({
    id,
    meter,
    ticks,
    pickup: isPickup,
    endings: [],
    key: null,
    tempo: null,
  });
  const full = Array.from({ length: count }, (_, i) => bar(`${sectionId}b${i + 1}`, barTicks(meter), false));
  return pickup > 0 ? [bar(`${sectionId}b0`, pickup, true), ...full] : full;
}

function lengthOf(notes: string): Ticks {
  return tokensOf(notes).reduce((sum, token) => sum + token.ticks, 0);
}

function tokensOf(notes: string): { ticks: Ticks; rest: boolean; midi: number; breath: boolean }[] {
  return notes
    .trim()
    .split(/\s+/)
    .filter((token) => token !== '' && token !== '|')
    .map((token, i) => ({
      rest: token.startsWith('z'),
      ticks: Math.round(Number(token.replace(/^z/, '').replace(/,$/, '')) * QUARTER),
      midi: 60 + ((i * 5) % 12),
      breath: token.endsWith(','),
    }));
}

function layNotes(voice: TinyVoice, voiceId: string, prefix: string, bars: readonly Bar[]): SungNote[] {
  const stanzas = (voice.words ?? []).map(syllablesOf);
  const notes: SungNote[] = [];
  let tick = 0;
  for (const token of tokensOf(voice.notes)) {
    if (!token.rest) {
      const at = barAt(bars, tick);
      const n = notes.length;
      notes.push({
        id: `${prefix}n${n + 1}`,
        voiceId,
        barId: at.id,
        offset: at.offset,
        ticks: token.ticks,
        midi: token.midi,
        syllables: stanzas.map((stanza) => stanza[n] ?? null),
        stanzas: [],
        breath: token.breath,
        fermata: false,
      });
    }
    tick += token.ticks;
  }
  return notes;
}

function barAt(bars: readonly Bar[], tick: Ticks): { id: string; offset: Ticks } {
  let start = 0;
  for (const bar of bars) {
    if (tick < start + bar.ticks) return { id: bar.id, offset: tick - start };
    start += bar.ticks;
  }
  throw new Error('notes beyond the bars');
}

function syllablesOf(words: string): (Syllable | null)[] {
  const syllables: (Syllable | null)[] = [];
  for (const word of words.trim().split(/\s+/)) {
    if (word === '*') {
      syllables.push(null);
      continue;
    }
    const endsLine = word.endsWith('/');
    const pieces = word.replace(/\/$/, '').split('-');
    pieces.forEach((text, i) => {
      const joins = i + 1 < pieces.length;
      syllables.push({ text, joins, endsLine: endsLine && !joins });
    });
  }
  return syllables;
}
