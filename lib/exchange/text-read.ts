import { fail, ok, type Result } from '../base';
import { DEFAULT_TEMPO } from '../song';
import { type Key, keyName, parseChord, scaleOf, transposeKey } from '../theory';
import { type Meter, meterName } from '../time';
import type { ReadOptions, SongRead } from './abc-read';
import { plainText, unreadable } from './abc-text';
import { Findings } from './report';
import { type Fact, quartersPerMinute } from './text-facts';
import { readLines, type TextItem } from './text-lines';
import { type Part, planParts } from './text-parts';
import { reportItems, reportReading } from './text-report';
import { buildTextSong } from './text-song';
import { tongueOf } from './text-syllables';

/** A song as text has some five thousand characters. */
const MOST_OF_A_SONG = 200_000;
/** And some hundred bars. */
const MOST_BARS = 2000;
const MOST_STANZAS = 60;

/**
 * Reads words with chords above them, or in square brackets among them, into a song: lines as people write them, with headings or blank
 * lines between parts, `Key: G`, `Capo 2`, `Tempo: 96`, `3/4` at the top. Bars are those that are written; where none are, each chord is
 * one bar, unless marks count its beats or bars. Words begin on beats by syllables and stress, the syllable under a chord with it.
 * The tune is not written: sung notes have no pitch. All that was guessed is in the report.
 *
 * @returns a problem where nothing of the text shows that it is a song (no chord, no heading, no key or tempo), or where it is too long
 */
export function readText(text: string, options: ReadOptions): Result<SongRead> {
  const problem = unreadable(text);
  if (problem) return { ok: false, error: problem };
  if (text.length > MOST_OF_A_SONG)
    return fail(
      `this text has ${text.length} characters; a song with chords above its words is read up to ${MOST_OF_A_SONG}`,
      'the whole text',
      'keep one song in a text: its words and chords alone',
    );
  const plain = plainText(text);
  const findings = new Findings(plain);
  const said = factsOf(readLines(plain, { count: 4, unit: 4 }), null);
  const meter = said.meter ?? { count: 4, unit: 4 };
  const all = readLines(plain, meter);
  const { items, title } = takeTitle(all);
  const facts = factsOf(items, findings);
  const { parts, passes } = planParts(items, findings);
  const refusal = refusalOf(items, parts, facts);
  if (refusal) return refusal;
  const written = parts.flatMap((part) => part.lines.flatMap((line) => line.spans ?? []));
  const symbols = written.flatMap(({ symbol }) => (symbol === null ? [] : [symbol]));
  const { key, shift } = keyAndShift(facts, symbols, findings);
  const words = parts.flatMap((part) =>
    part.lines.flatMap((line) => line.words.flatMap((own) => (own ? [own.line.text] : []))),
  );
  const tongue = tongueOf(words.join(' '));
  const song = buildTextSong(
    parts,
    passes,
    {
      title: (facts.title ?? title ?? options.title).slice(0, 200),
      meter,
      tempo: tempoOf(facts.beatsPerMinute, meter, findings),
      swing: facts.swing ?? 1,
      key,
      shift,
      tongue,
    },
    options.makeId,
    findings,
  );
  if (facts.title === null) guessTitle(title, song.title, findings);
  if (facts.meter === null) findings.guessed('no meter is given; 4/4 was taken');
  reportItems(items, findings);
  reportReading(song, items, parts, symbols.length > 0, tongue.english, words, meter, findings);
  return ok({ song, report: findings.report() });
}

interface Said {
  title: string | null;
  key: Key | null;
  capo: number;
  beatsPerMinute: number | null;
  meter: Meter | null;
  swing: number | null;
}

/** What the lines in plain English say; the first of each kind holds. */
function factsOf(items: readonly TextItem[], findings: Findings | null): Said {
  const said: Said = { title: null, key: null, capo: 0, beatsPerMinute: null, meter: null, swing: null };
  let capo: number | null = null;
  for (const item of items) {
    if (item.kind !== 'facts') continue;
    for (const fact of item.facts) {
      if (fact.kind === 'unheld' || fact.kind === 'unread') {
        findings?.leftOut(fact.what, item.at);
        continue;
      }
      if (alreadySaid(said, capo, fact)) {
        findings?.leftOut(`a second ${fact.kind === 'swing' ? 'feel' : fact.kind}; the first holds`, item.at);
        continue;
      }
      if (fact.kind === 'title') said.title = fact.title;
      else if (fact.kind === 'key') said.key = fact.key;
      else if (fact.kind === 'capo') capo = fact.capo;
      else if (fact.kind === 'tempo') said.beatsPerMinute = fact.beatsPerMinute;
      else if (fact.kind === 'meter') said.meter = fact.meter;
      else said.swing = fact.ratio;
    }
  }
  return { ...said, capo: capo ?? 0 };
}

function alreadySaid(said: Said, capo: number | null, fact: Fact): boolean {
  if (fact.kind === 'title') return said.title !== null;
  if (fact.kind === 'key') return said.key !== null;
  if (fact.kind === 'capo') return capo !== null;
  if (fact.kind === 'tempo') return said.beatsPerMinute !== null;
  if (fact.kind === 'meter') return said.meter !== null;
  return fact.kind === 'swing' && said.swing !== null;
}

/**
 * A title without a name: the first line of the text, where it has words alone and an empty line, facts, a heading or chords follow it,
 * while words stand below chords elsewhere.
 */
function takeTitle(items: readonly TextItem[]): { items: readonly TextItem[]; title: string | null } {
  const index = items.findIndex((item) => item.kind !== 'blank');
  const first = items[index];
  const next = items[index + 1];
  if (first?.kind !== 'line' || first.line.chords || !first.line.words) return { items, title: null };
  const more = items.slice(index + 1).some((item) => item.kind === 'line');
  const follows = next?.kind !== 'line' || (next.line.chords !== null && next.line.words !== null);
  const title = first.line.words.text.trim();
  const short = title.length <= 80 && !/[,;:]$/.test(title);
  if (!more || !follows || !short) return { items, title: null };
  return { items: items.filter((_, i) => i !== index), title };
}

function guessTitle(taken: string | null, title: string, findings: Findings): void {
  findings.guessed(
    taken === null
      ? `no title is given; "${title}" was taken`
      : `the first line, "${title}", was taken as the title`,
  );
}

function refusalOf(items: readonly TextItem[], parts: readonly Part[], facts: Said): Result<never> | null {
  const headed = items.some((item) => item.kind === 'heading');
  const chords = parts.some((part) => part.lines.some((line) => line.spans !== null));
  if (parts.length === 0)
    return fail(
      'there are no words and no chords in it',
      'the whole text',
      'write the words in lines, each with its chords in a line above it',
    );
  if (!chords && !headed && facts.key === null && facts.beatsPerMinute === null)
    return fail(
      'this text is not ABC, and no chords or headings of a song stand in it',
      'the whole text',
      'write a line of chords above each line of words ("G   C   D7"), or for words alone a heading such as [Verse] above them; ABC starts with "X:1"',
    );
  const stanzas = Math.max(...parts.map((part) => part.stanzas));
  if (stanzas > MOST_STANZAS)
    return fail(
      `a part has ${stanzas} stanzas; at most ${MOST_STANZAS} are read`,
      'the whole text',
      'keep one song in a text',
    );
  const ticks = parts.reduce(
    (sum, part) =>
      sum +
      part.lines.reduce(
        (all, line) => all + (line.spans?.reduce((own, span) => own + span.ticks, 0) ?? 3840),
        0,
      ),
    0,
  );
  return ticks / 3840 > MOST_BARS
    ? fail(
        `the chords make some ${Math.round(ticks / 3840)} bars; at most ${MOST_BARS} are read`,
        'the whole text',
        'keep one song in a text',
      )
    : null;
}

/** The key as sounded. With a capo, chords are the shapes over it: they sound as many semitones higher. */
function keyAndShift(
  facts: Said,
  symbols: readonly string[],
  findings: Findings,
): { readonly key: Key; readonly shift: number } {
  const guess = guessKey(symbols);
  const { capo } = facts;
  const said = facts.key;
  const tonic = (key: Key) => scaleOf(key)[0];
  // A key that is the guessed one is that of the shapes; the guessed one raised by the capo is that which sounds.
  const sounded = said && guess && capo > 0 && tonic(said) === tonic(transposeKey(guess, capo));
  const shapes = sounded
    ? transposeKey(said, -capo)
    : (said ?? guess ?? { tonic: 'C', mode: 'major' as const });
  const key = sounded ? said : transposeKeyBy(shapes, capo);
  if (said === null)
    findings.guessed(
      guess
        ? `no key is given; ${keyName(shapes)} fits the chords${capo > 0 ? ' as written' : ''}`
        : 'no key is given; C was taken',
    );
  if (capo > 0)
    findings.guessed(
      `with the capo at fret ${capo} the chords were taken as shapes: they sound ${capo} ${capo === 1 ? 'semitone' : 'semitones'} higher than written, and the song stands in ${keyName(key)}`,
    );
  return { key, shift: capo };
}

const transposeKeyBy = (key: Key, semitones: number): Key =>
  semitones === 0 ? key : transposeKey(key, semitones);

/** The key whose scale holds most of the chords; the first and last chord speak for their own. Common practice, no source. */
function guessKey(symbols: readonly string[]): Key | null {
  const chords = symbols.flatMap((symbol) => parseChord(symbol) ?? []);
  if (chords.length === 0) return null;
  let best: { key: Key; points: number } | null = null;
  const tonics = ['C', 'G', 'D', 'A', 'E', 'B', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'F#'];
  for (const mode of ['major', 'minor'] as const) {
    for (const tonic of tonics) {
      const key: Key = { tonic, mode };
      const scale = scaleOf(key);
      const third = mode === 'minor' ? 'minor' : 'major';
      const home = (chord: (typeof chords)[number] | undefined) =>
        chord && chord.root === scale[0] && (chord.third === third || chord.third === 'none');
      let points = 0;
      for (const chord of chords) {
        if (chord.tones.slice(0, 3).every((tone) => scale.includes(tone.pitchClass))) points += 1;
        if (home(chord)) points += 0.5;
      }
      points /= chords.length;
      if (home(chords[0])) points += 0.4;
      if (home(chords[chords.length - 1])) points += 0.6;
      if (!best || points > best.points) best = { key, points };
    }
  }
  return best?.key ?? null;
}

function tempoOf(beatsPerMinute: number | null, meter: Meter, findings: Findings): number | null {
  if (beatsPerMinute === null) {
    findings.warn(`no tempo is given; ${DEFAULT_TEMPO} quarter notes a minute are taken until one is`);
    return null;
  }
  const quarters = Math.min(600, quartersPerMinute(beatsPerMinute, meter));
  if (quarters !== beatsPerMinute)
    findings.guessed(
      `the tempo of ${beatsPerMinute} was taken in beats of ${meterName(meter)}: ${quarters} quarter notes a minute`,
    );
  return quarters;
}
