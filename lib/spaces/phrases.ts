import { itemAt, lastOf, type Reason } from '../base';
import type { PlacedNote, Timeline, Voice } from '../song';
import type { Ticks } from '../time';
import { cutVoice, type DecidedEnds } from './cut';
import { decidedEnds } from './decided-ends';
import { weighEchoes } from './evidence-echo';
import { weighSound } from './evidence-sound';
import { weighWords, wordsSeenSmall } from './evidence-words';
import { Ledger } from './ledger';
import { LengthScale, type Measure, measureOf, pairReasons } from './lengths';
import type { Phrase, SpaceOptions } from './types';
import { readLine, type VoiceLine } from './voice-line';
import { PHRASE_WEIGHTS, type Weights } from './weights';

/** The voice with the tune: the first with notes that is named lead, else the top one with notes; null where nobody sings. */
export function leadVoice(timeline: Timeline): Voice | null {
  const voices = timeline.song.voices.filter((voice) => (timeline.notes.get(voice.id)?.length ?? 0) > 0);
  return voices.find((voice) => voice.part === 'lead') ?? voices[0] ?? null;
}

/**
 * The phrases of every voice, voice by voice (in the song's order), each in time order; together they cover the
 * notes of the voice without a break.
 *
 * Model: of all ways to cut the voice into phrases, the one with the most points, the sum of
 * - what speaks for an end after its last note: silence, breath marks and fermatas, a note that is held, leaps and steps,
 *   something sung before that begins again; of the words, the share of the stanzas in which punctuation, a capital, a line's
 *   end or a rhyme stands there; less what every end costs;
 * - its length: syllables (without words: notes) and bars;
 * - the phrase before it: as long, with the same rhythm, with as many syllables.
 * `PHRASE_WEIGHTS` holds the points, and the reasons of all phrases add up to the sum. What a person decided about an end
 * stands, and the rest is cut round it. A voice without words of its own follows the leading one's phrases. Where the bars are
 * not to be trusted they do not count. Exact (see `cutVoice`). O(notes × (stanzas + `LONGEST_PHRASE`)).
 */
export function findPhrases(
  timeline: Timeline,
  options: Pick<SpaceOptions, 'ignoreWords'>,
  weights: Weights = PHRASE_WEIGHTS,
): Phrase[] {
  const lead = leadVoice(timeline);
  const leading = lead ? cutOf(lead, timeline, options, weights, null) : null;
  const together = leading?.ends.map((last) => itemAt(leading.line.notes, last).endTick) ?? [];
  return timeline.song.voices.flatMap((voice) => {
    const cut = voice.id === lead?.id ? leading : cutOf(voice, timeline, options, weights, together);
    return cut ? phrasesOf(cut) : [];
  });
}

/** The last notes of the leading voice's phrases, as `findPhrases` gives them. */
export function leadEnds(timeline: Timeline, options: Pick<SpaceOptions, 'ignoreWords'>): readonly number[] {
  const lead = leadVoice(timeline);
  return (lead && cutOf(lead, timeline, options, PHRASE_WEIGHTS, null)?.ends) ?? [];
}

/** A voice cut into phrases, and what the cut was made by. */
interface VoiceCut {
  readonly line: VoiceLine;
  readonly ledger: Ledger;
  readonly measure: Measure;
  readonly decided: DecidedEnds;
  readonly ends: readonly number[];
}

function cutOf(
  voice: Voice,
  timeline: Timeline,
  options: Pick<SpaceOptions, 'ignoreWords'>,
  weights: Weights,
  together: readonly Ticks[] | null,
): VoiceCut | null {
  const notes = timeline.notes.get(voice.id) ?? [];
  if (notes.length === 0) return null;
  const isWorded = notes.some((note) => note.note.syllables.some((syllable) => syllable !== null));
  const hasWords = isWorded && !options.ignoreWords;
  const line = readLine(timeline, notes);
  const ledger = new Ledger(notes.length, weights);
  weighSound(line, ledger, weights, isWorded ? null : together);
  weighEchoes(line, ledger, weights);
  if (hasWords) weighWords(line, ledger, weights, wordsSeenSmall(timeline.song), stanzasSung(timeline));
  const measure = measureOf(line, hasWords, weights);
  const decided = decidedEnds(timeline, notes);
  return { line, ledger, measure, decided, ends: cutVoice(measure, ledger.points, decided).ends };
}

/** Which stanza a pass sings; as written, the first. */
function stanzasSung({ song }: Timeline): (passId: string | null) => number {
  const stanzas = new Map(song.passes.map(({ id, stanza }) => [id, stanza ?? 1]));
  return (passId) => (passId === null ? 1 : (stanzas.get(passId) ?? 1));
}

function phrasesOf({ line, ledger, measure, decided, ends }: VoiceCut): Phrase[] {
  const scale = new LengthScale(measure);
  return ends.map((last, k) => {
    const first = (ends[k - 1] ?? -1) + 1;
    const next = last + 1;
    const why = [
      ...ledger.reasonsAt(last),
      ...scale.reasons(first, next),
      ...(k === 0 ? [] : pairReasons(measure, (ends[k - 2] ?? -1) + 1, first, next)),
    ].sort((a, b) => b.weight - a.weight);
    if (next === line.count) why.unshift(LAST_NOTE);
    else if (decided[last] === 1) why.unshift(DECIDED);
    return toPhrase(line.notes, first, last, why);
  });
}

const LAST_NOTE: Reason = { rule: 'last note', weight: 0, detail: 'the voice ends' };
const DECIDED: Reason = { rule: 'decided', weight: 0, detail: 'the band put it here' };

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
