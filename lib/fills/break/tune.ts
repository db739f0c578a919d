import { itemAt, lastOf } from '../../base';
import type { OpenString } from '../../instruments';
import { type SungNote, type Timeline, writtenTimeline } from '../../song';
import { findPhrases, leadVoice } from '../../spaces';
import type { Ticks } from '../../time';
import { OCTAVE_COSTS, TUNE_REACH } from './costs';
import type { BreakRequest } from './types';

/** A note of the tune before it is laid under the hands. */
export interface Sung {
  readonly noteId: string;
  readonly tick: Ticks;
  readonly ticks: Ticks;
  /** As sung. */
  readonly midi: number;
  /** True for the first note of a phrase. */
  readonly begins: boolean;
}

/** A written note where a stretch plays it. */
export interface Heard {
  readonly noteId: string;
  readonly voiceId: string;
  readonly tick: Ticks;
  readonly ticks: Ticks;
  readonly midi: number;
}

/**
 * What all voices sing in the bars of a stretch, in its first stanza, by bar: so a pass in which nobody sings has its notes too. In time
 * order, the highest of a voice first.
 */
export function heardIn(request: Pick<BreakRequest, 'timeline' | 'startTick' | 'endTick'>): readonly Heard[] {
  const { timeline, startTick, endTick } = request;
  const byBar = new Map<string, SungNote[]>();
  for (const note of timeline.song.notes) {
    if (note.stanzas.length > 0 && !note.stanzas.includes(1)) continue;
    const here = byBar.get(note.barId);
    if (here) here.push(note);
    else byBar.set(note.barId, [note]);
  }
  const notes: Heard[] = [];
  for (const placed of timeline.bars) {
    if (placed.startTick >= endTick) break;
    for (const { id, voiceId, offset, ticks, midi } of byBar.get(placed.bar.id) ?? []) {
      const tick = placed.startTick + offset;
      if (midi !== null && tick >= startTick && tick < endTick)
        notes.push({ noteId: id, voiceId, tick, ticks: Math.min(ticks, endTick - tick), midi });
    }
  }
  return notes.sort((a, b) => a.tick - b.tick || b.midi - a.midi);
}

/**
 * The tune of a stretch: the voice asked for, or the leading one; each note ends where the next begins at the latest. Empty where no tune is
 * written.
 */
export function tuneIn(
  request: Pick<BreakRequest, 'timeline' | 'startTick' | 'endTick' | 'voiceId'>,
): readonly Sung[] {
  const written = writtenTimeline(request.timeline.song);
  const voiceId = request.voiceId ?? leadVoice(written)?.id ?? null;
  if (voiceId === null) return [];
  const firsts = phraseFirsts(written, voiceId);
  const own = heardIn(request)
    .filter((note) => note.voiceId === voiceId)
    .filter((note, i, all) => note.tick !== all[i - 1]?.tick);
  return own.map(({ noteId, tick, ticks, midi }, i) => ({
    noteId,
    tick,
    ticks: Math.max(1, Math.min(ticks, (own[i + 1]?.tick ?? request.endTick) - tick)),
    midi,
    begins: i === 0 || firsts.has(noteId),
  }));
}

/** The ids of the notes that begin a phrase. */
function phraseFirsts(written: Timeline, voiceId: string): ReadonlySet<string> {
  const notes = written.notes.get(voiceId) ?? [];
  const phrases = findPhrases(written, { ignoreWords: false }).filter((phrase) => phrase.voiceId === voiceId);
  return new Set(phrases.map((phrase) => itemAt(notes, phrase.firstNote).note.id));
}

const OCTAVES = [-3, -2, -1, 0, 1, 2, 3];

/**
 * For each note the octaves by which its phrase is moved. The model: each phrase as a whole, so many octaves up or down; the least
 * sum of `OCTAVE_COSTS` over notes and over changes between phrases, exactly, by dynamic programming over phrases. Null where a phrase
 * cannot be had on the instrument.
 */
export function octavesFor(
  notes: readonly Sung[],
  strings: readonly OpenString[],
  request: Pick<BreakRequest, 'setup'>,
): readonly number[] | null {
  const reach = TUNE_REACH[request.setup.instrument];
  const capo = request.setup.capo;
  const can = (midi: number) =>
    strings.some(({ string, midi: open, highestFret }) => {
      if (request.setup.instrument === 'banjo' && string === 5) return false;
      return midi >= open && midi - open <= Math.min(highestFret, reach.highestFret);
    });
  const noteCost = (midi: number, octaves: number) => {
    const pitch = midi + 12 * octaves;
    const away = Math.max(0, reach.lowest + capo - pitch, pitch - reach.highest - capo);
    return (
      OCTAVE_COSTS.beyond * away +
      OCTAVE_COSTS.moved * Math.abs(octaves) +
      (can(pitch) ? 0 : OCTAVE_COSTS.outOfReach)
    );
  };
  const phrases: Sung[][] = [];
  for (const note of notes) {
    if (note.begins || phrases.length === 0) phrases.push([note]);
    else lastOf(phrases).push(note);
  }
  let layer: readonly { cost: number; path: readonly number[] }[] = [{ cost: 0, path: [] }];
  for (const phrase of phrases) {
    const before = layer;
    layer = OCTAVES.map((octaves) => {
      const own = phrase.reduce((sum, note) => sum + noteCost(note.midi, octaves), 0);
      const from = before
        .map(({ cost, path }) => {
          const last = path.at(-1);
          return { cost: cost + (last === undefined || last === octaves ? 0 : OCTAVE_COSTS.changes), path };
        })
        .reduce((least, each) => (each.cost < least.cost ? each : least));
      return { cost: from.cost + own, path: [...from.path, octaves] };
    });
  }
  const best = layer.reduce((least, each) => (each.cost < least.cost ? each : least));
  if (best.cost >= OCTAVE_COSTS.outOfReach) return null;
  return phrases.flatMap((phrase, i) => phrase.map(() => itemAt(best.path, i)));
}
