import { itemAt, lastOf, type Reason } from '../base';
import type { PlacedNote, Timeline, Voice } from '../song';
import type { Ticks } from '../time';
import {
  type BarPlace,
  type BoundaryEvidence,
  gatherEvidence,
  type Weights,
  wordsSeenSmall,
} from './evidence';
import type { Phrase, SpaceOptions } from './types';
import { LONGEST_PHRASE, PHRASE_WEIGHTS } from './weights';

/** The voice with the tune: the first with notes that is named lead, else the top one with notes; null where nobody sings. */
export function leadVoice(timeline: Timeline): Voice | null {
  const voices = timeline.song.voices.filter((voice) => (timeline.notes.get(voice.id)?.length ?? 0) > 0);
  return voices.find((voice) => voice.part === 'lead') ?? voices[0] ?? null;
}

/**
 * The phrases of every voice, voice by voice (in the song's order), each in time order; together they cover the
 * notes of the voice without a break.
 *
 * Model: of all ways to cut the voice into phrases, the one with the most points. A cut after a note has the points
 * of its evidence (rests, breath marks, held notes, where in the bar the next note stands; of the words, punctuation,
 * capitals and line ends, as the mean over all stanzas that have words there) less the price of a cut; a phrase loses
 * points for each syllable (without words: note) that it is shorter or longer than is usual; and cuts after which the next
 * note stands at one chosen place of every bar, or of every second one, gain some, that place being chosen for the
 * voice as a whole so that the sum is greatest. A voice without words of its own follows the leading one's phrases.
 * `PHRASE_WEIGHTS` holds the points. Exact for this model: dynamic programming over the cuts, once for each such place.
 * O(notes × places); phrases of at most `LONGEST_PHRASE` notes.
 */
export function findPhrases(
  timeline: Timeline,
  options: Pick<SpaceOptions, 'ignoreWords'>,
  weights: Weights = PHRASE_WEIGHTS,
): Phrase[] {
  const lead = leadVoice(timeline);
  const leading = lead ? phrasesOf(lead, timeline, options, weights, null) : [];
  const together = leading.map((phrase) => phrase.endTick);
  return timeline.song.voices.flatMap((voice) =>
    voice.id === lead?.id ? leading : phrasesOf(voice, timeline, options, weights, together),
  );
}

/** The phrases of the leading voice alone, as `findPhrases` gives them. */
export function leadPhrases(timeline: Timeline, options: Pick<SpaceOptions, 'ignoreWords'>): Phrase[] {
  const lead = leadVoice(timeline);
  return lead ? phrasesOf(lead, timeline, options, PHRASE_WEIGHTS, null) : [];
}

function phrasesOf(
  voice: Voice,
  timeline: Timeline,
  options: Pick<SpaceOptions, 'ignoreWords'>,
  weights: Weights,
  together: readonly Ticks[] | null,
): Phrase[] {
  const notes = timeline.notes.get(voice.id) ?? [];
  const hasWords = notes.some((note) => note.note.syllables.some((syllable) => syllable !== null));
  const ignoreWords = options.ignoreWords || !hasWords;
  const small = ignoreWords ? new Set<string>() : wordsSeenSmall(timeline.song);
  const follows = hasWords ? null : together;
  const evidence = gatherEvidence({ timeline, notes, ignoreWords, small, weights, together: follows });
  return cutPhrases(notes, evidence, ignoreWords, weights);
}

/** Cuts one voice; see `findPhrases`. */
function cutPhrases(
  notes: readonly PlacedNote[],
  evidence: readonly BoundaryEvidence[],
  ignoreWords: boolean,
  weights: Weights,
): Phrase[] {
  if (notes.length === 0) return [];
  const syllables = countSyllables(notes, ignoreWords);
  let best = { points: Number.NEGATIVE_INFINITY, ends: [] as number[], gait: NO_GAIT };
  for (const gait of gaitsOf(evidence, weights)) {
    const cut = bestCuts(evidence, syllables, gait, weights);
    if (cut.points > best.points) best = { ...cut, gait };
  }
  let first = 0;
  return best.ends.map((last) => {
    const phrase = toPhrase(notes, first, last, whyItEnds(evidence[last], best.gait));
    first = last + 1;
    return phrase;
  });
}

/** A place at which the phrases of a voice mostly begin: an offset in every bar, or in every second one. */
interface Gait {
  readonly every: number;
  readonly bar: number;
  readonly offset: Ticks;
  /** Points for a boundary after which the next note stands there. */
  readonly bonus: number;
}

const NO_GAIT: Gait = { every: 1, bar: 0, offset: -1, bonus: 0 };

/** All gaits at which any note begins, and none. */
function gaitsOf(evidence: readonly BoundaryEvidence[], weights: Weights): Gait[] {
  const gaits = new Map<string, Gait>();
  const bonuses = [weights.everyBar, weights.everyTwoBars];
  bonuses.forEach((bonus, i) => {
    const every = i + 1;
    for (const { nextPlace } of evidence) {
      const bar = nextPlace.bar % every;
      gaits.set(`${every} ${bar} ${nextPlace.offset}`, { every, bar, offset: nextPlace.offset, bonus });
    }
  });
  return [NO_GAIT, ...gaits.values()];
}

function isOnGait({ bar, offset }: BarPlace, gait: Gait): boolean {
  return offset === gait.offset && bar % gait.every === gait.bar;
}

/** How many syllables (without words: notes) begin before each note, and in all at the end. */
function countSyllables(notes: readonly PlacedNote[], ignoreWords: boolean): Float64Array {
  const counts = new Float64Array(notes.length + 1);
  for (let i = 0; i < notes.length; i++) {
    const begins = ignoreWords || itemAt(notes, i).note.syllables.some((syllable) => syllable !== null);
    counts[i + 1] = itemAt(counts, i) + (begins ? 1 : 0);
  }
  return counts;
}

/** The best cuts for one gait. Ties go to the longer last phrase. */
function bestCuts(
  evidence: readonly BoundaryEvidence[],
  syllables: Float64Array,
  gait: Gait,
  weights: Weights,
): { points: number; ends: number[] } {
  const count = syllables.length - 1;
  const points = new Float64Array(count + 1).fill(Number.NEGATIVE_INFINITY);
  const cameFrom = new Int32Array(count + 1);
  points[0] = 0;
  for (let end = 1; end <= count; end++) {
    const boundary = evidence[end - 1];
    const own = boundary
      ? boundary.points - weights.boundary + (isOnGait(boundary.nextPlace, gait) ? gait.bonus : 0)
      : 0;
    for (let start = Math.max(0, end - LONGEST_PHRASE); start < end; start++) {
      const length = itemAt(syllables, end) - itemAt(syllables, start);
      const total = itemAt(points, start) + own - lengthCost(length, weights);
      if (total > itemAt(points, end)) {
        points[end] = total;
        cameFrom[end] = start;
      }
    }
  }
  const ends: number[] = [];
  for (let at = count; at > 0; at = itemAt(cameFrom, at)) ends.push(at - 1);
  return { points: itemAt(points, count), ends: ends.reverse() };
}

function lengthCost(syllables: number, weights: Weights): number {
  if (syllables < weights.fewest) return weights.short * (weights.fewest - syllables);
  return syllables > weights.most ? weights.long * (syllables - weights.most) : 0;
}

function whyItEnds(boundary: BoundaryEvidence | undefined, gait: Gait): Reason[] {
  if (!boundary) return [{ rule: 'last note', weight: 0, detail: 'the voice ends' }];
  const regular = isOnGait(boundary.nextPlace, gait)
    ? [{ rule: 'place in the bar', weight: gait.bonus, detail: 'the next begins where most phrases begin' }]
    : [];
  return [...boundary.reasons, ...regular].sort((a, b) => b.weight - a.weight);
}

function toPhrase(notes: readonly PlacedNote[], firstNote: number, lastNote: number, why: Reason[]): Phrase {
  const first = itemAt(notes, firstNote);
  const last = itemAt(notes, lastNote);
  const sung = notes.slice(firstNote, lastNote + 1);
  return {
    id: `${last.passId ?? 'written'}.${last.voiceId}.${last.note.id}`,
    voiceId: first.voiceId,
    passId: first.passId,
    firstNote,
    lastNote,
    startTick: first.startTick,
    endTick: lastOf(sung).endTick,
    words: wordsOf(sung),
    why,
  };
}

/** The words under some notes, with spaces between words only. */
export function wordsOf(notes: readonly PlacedNote[]): string {
  let words = '';
  for (const { syllable } of notes) {
    if (syllable) words += syllable.joins ? syllable.text : `${syllable.text} `;
  }
  return words.trim();
}
