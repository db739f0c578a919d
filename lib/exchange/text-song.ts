import { itemAt, type MakeId } from '../base';
import {
  type Bar,
  type ChordMark,
  type Pass,
  type Section,
  type Song,
  type SungNote,
  type Syllable,
  UNDECIDED,
} from '../song';
import { spreadEvenly, spreadLine } from '../taps';
import { type Key, parseChord, transposeChord } from '../theory';
import { barTicks, beatTicks, type Meter, type Ticks } from '../time';
import type { Findings } from './report';
import { type LaidLine, type LaidPart, type LaidWords, layPart } from './text-bars';
import type { Part, PartPass } from './text-parts';
import type { Tongue } from './text-syllables';

/** What the song is beside its parts. */
export interface TextFacts {
  readonly title: string;
  readonly meter: Meter;
  readonly tempo: number | null;
  readonly swing: number;
  /** As sounded. */
  readonly key: Key;
  /** Semitones from the chords as written to the chords as sounded. */
  readonly shift: number;
  readonly tongue: Tongue;
}

/**
 * Puts a song together from its parts: bars of the lines' lengths, chords on them, and sung notes without pitch (the tune is not
 * written) on which each stanza's words begin. What leads into a part stands in a pickup bar before it, and the part that is sung before
 * it gives up as much of its last bar.
 */
export function buildTextSong(
  parts: readonly Part[],
  passes: readonly PartPass[],
  facts: TextFacts,
  makeId: MakeId,
  findings: Findings,
): Song {
  const { meter } = facts;
  const songId = makeId();
  const laid = parts.map((part) => layPart(part, meter, facts.tongue));
  const voice = { id: makeId(), name: 'Lead', part: 'lead' as const, playerId: null, range: null };
  const sections: Section[] = [];
  const notes: SungNote[] = [];
  const chords: ChordMark[] = [];
  for (const part of laid) {
    const after = pickupAfter(part, laid, passes, findings);
    const bars = barsOf(part, meter, after, makeId);
    const isGuess = part.part.lines.some((line) => line.isGuess);
    sections.push({
      id: makeId(),
      name: part.part.name.slice(0, 80),
      bars: bars.map(({ bar }) => bar),
      ...(isGuess ? { chordsGuessed: true } : {}),
    });
    const place = (tick: Ticks) => {
      const found = bars.findLast(({ from }) => from <= tick) ?? itemAt(bars, 0);
      return { barId: found.bar.id, offset: Math.min(Math.max(0, tick - found.from), found.bar.ticks - 1) };
    };
    for (const line of part.lines) {
      for (const { symbol, tick, index } of line.chords) {
        if (tick >= part.ticks - after) continue;
        if (symbol !== 'N.C.' && parseChord(symbol) === null)
          findings.warn(
            `the chord symbol "${symbol}" is not understood; it is kept as written (${findings.sayPlace(index)})`,
          );
        chords.push({ id: makeId(), ...place(tick), symbol: transposeChord(symbol, facts.shift, facts.key) });
      }
    }
    for (const sung of sungIn(part, meter, after, findings))
      notes.push({
        id: makeId(),
        voiceId: voice.id,
        ...place(sung.tick),
        ticks: sung.ticks,
        midi: null,
        syllables: sung.syllables,
        stanzas: sung.stanzas,
        breath: false,
        fermata: false,
      });
  }
  return {
    id: songId,
    title: facts.title,
    key: facts.key,
    tempo: facts.tempo,
    feel: { ratio: facts.swing },
    sections,
    passes: passes.map(
      ({ part, stanza }): Pass => ({
        id: makeId(),
        sectionId: itemAt(sections, parts.indexOf(part)).id,
        stanza,
        ending: 1,
        name: '',
        roles: {},
      }),
    ),
    voices: [voice],
    notes,
    chords,
    settings: [],
    settled: [],
    proposals: [],
    votes: [],
    comments: [],
    ...UNDECIDED,
  };
}

const pickupOf = (part: LaidPart): Ticks => part.lines[0]?.pickup ?? 0;

/** How much the words of the part that follows begin before its first full bar, as most passes have it. */
function pickupAfter(
  part: LaidPart,
  laid: readonly LaidPart[],
  passes: readonly PartPass[],
  findings: Findings,
): Ticks {
  const counts = new Map<Ticks, number>();
  passes.forEach((pass, i) => {
    const next = passes[i + 1];
    const following = next && laid.find((each) => each.part === next.part);
    if (pass.part !== part.part || !following) return;
    const pickup = pickupOf(following);
    counts.set(pickup, (counts.get(pickup) ?? 0) + 1);
  });
  const [most] = [...counts].sort((a, b) => b[1] - a[1] || b[0] - a[0]);
  if (counts.size > 1)
    findings.guessed(
      `what is sung after "${part.part.name}" does not always begin on the same beat; its last bar is as long as it mostly has to be`,
    );
  const last = part.lines[part.lines.length - 1];
  const room = last ? last.to - last.from : 0;
  return most && most[0] < Math.min(room, part.ticks) ? most[0] : 0;
}

function barsOf(
  part: LaidPart,
  meter: Meter,
  after: Ticks,
  makeId: MakeId,
): { readonly from: Ticks; readonly bar: Bar }[] {
  const bars: { from: Ticks; bar: Bar }[] = [];
  const add = (from: Ticks, ticks: Ticks, pickup: boolean) =>
    bars.push({ from, bar: { id: makeId(), meter, ticks, pickup, endings: [], key: null, tempo: null } });
  const pickup = pickupOf(part);
  if (pickup > 0) add(-pickup, pickup, true);
  const full = barTicks(meter);
  for (const { from, to } of part.lines) {
    const end = Math.min(to, part.ticks - after);
    for (let at = from; at < end; at += full) add(at, Math.min(full, end - at), false);
  }
  return bars;
}

interface Sung {
  readonly tick: Ticks;
  readonly ticks: Ticks;
  /** The stanzas that sing it, from 1; empty: all. */
  readonly stanzas: readonly number[];
  readonly syllables: readonly (Syllable | null)[];
}

/** The sung notes of a part: where any stanza begins a syllable. */
function sungIn(part: LaidPart, meter: Meter, after: Ticks, findings: Findings): Sung[] {
  const sung: Sung[] = [];
  part.lines.forEach((line, i) => {
    const next = part.lines[i + 1];
    const end = next ? next.from - next.pickup : part.ticks - after;
    const byTick = new Map<Ticks, (Syllable | null)[]>();
    const others = new Set<Ticks>();
    const alone = (words: LaidWords) => onsetsOf(line, words, end, meter, new Set(), part, findings);
    for (const { words, stanza } of latestFirst(line, (each) => Math.max(0, ...alone(each)))) {
      const onsets = onsetsOf(line, words, end, meter, others, part, findings);
      onsets.forEach((tick, n) => {
        const { text, joins } = itemAt(words.syllables, n);
        const there = byTick.get(tick) ?? [];
        while (there.length < stanza) there.push(null);
        there[stanza] = { text: text.slice(0, 200), joins, endsLine: n === words.syllables.length - 1 };
        byTick.set(tick, there);
      });
      for (const tick of onsets) others.add(tick);
    }
    const onsets = [...byTick].sort((a, b) => a[0] - b[0]);
    onsets.forEach(([tick, syllables], n) => {
      const following = onsets[n + 1]?.[0];
      // The last syllable of a line is held for two beats at most, and leaves the last beat before what comes to breathe.
      const beat = beatTicks(meter);
      const held = Math.max(Math.min(2 * beat, end - beat - tick), Math.min(beat, end - tick));
      const ticks = following === undefined ? held : Math.min(following - tick, barTicks(meter));
      // A stanza that begins its line later is silent until then.
      const silent = line.words.flatMap((words, stanza) =>
        words && onsets.slice(0, n + 1).every(([, each]) => !each[stanza]) ? [stanza + 1] : [],
      );
      const stanzas = Array.from({ length: part.part.stanzas }, (_, s) => s + 1);
      sung.push({
        tick,
        ticks: Math.max(1, ticks),
        syllables,
        stanzas: silent.length === 0 ? [] : stanzas.filter((stanza) => !silent.includes(stanza)),
      });
    });
  });
  return sung.sort((a, b) => a.tick - b.tick);
}

/** The stanzas of a line, the one whose last syllable begins latest first: the others fit into its rhythm. */
function latestFirst(
  line: LaidLine,
  lastOnset: (words: LaidWords) => Ticks,
): { words: LaidWords; stanza: number }[] {
  const stanzas = line.words.flatMap((words, stanza) => (words ? [{ words, stanza }] : []));
  if (stanzas.length < 2) return stanzas;
  return stanzas
    .map((each) => ({ ...each, last: lastOnset(each.words) }))
    .sort(
      (a, b) => b.last - a.last || b.words.syllables.length - a.words.syllables.length || a.stanza - b.stanza,
    );
}

/** Where a line's syllables begin. A stanza ends its line where the one before it does, if its chords allow that: they breathe together. */
function onsetsOf(
  line: LaidLine,
  words: LaidWords,
  end: Ticks,
  meter: Meter,
  others: ReadonlySet<Ticks>,
  part: LaidPart,
  findings: Findings,
): Ticks[] {
  const from = line.from - line.pickup;
  const to = Math.min(end, line.to);
  const anchors = new Map(
    [...words.anchors]
      .map(([index, tick]) => [index, line.from + tick] as const)
      .filter(([, tick]) => tick < to),
  );
  const leading = words.leading > 0 ? line.pickup : 0;
  const input = {
    syllables: words.syllables,
    from,
    to,
    meter,
    inBar: (tick: Ticks) => barOffset(part, line, tick, meter),
    anchors,
    others,
    start: others.size > 0 && words.anchors.size === 0 ? Math.min(...others) : line.from - leading,
  };
  const last = words.syllables.length - 1;
  const lastOnset = others.size > 0 ? Math.max(...others) : null;
  const together = lastOnset !== null && !anchors.has(last) && Math.max(-1, ...anchors.values()) < lastOnset;
  const trailing = line.words.flatMap((each) => each?.trailing ?? []);
  const before = Math.min(to, line.from + Math.min(...trailing));
  const within = (until: Ticks) =>
    (together && lastOnset < until
      ? spreadLine({ ...input, to: until, anchors: new Map([...anchors, [last, lastOnset]]) })
      : null) ?? spreadLine({ ...input, to: until });
  const found =
    (before < to ? within(before) : null) ??
    within(to) ??
    (anchors.size > 0 ? spreadLine({ ...input, anchors: new Map() }) : null);
  if (found) return found;
  const count = Math.min(words.syllables.length, to - from);
  findings.warn(
    `a line has ${words.syllables.length} syllables in ${Math.round((to - from) / beatTicks(meter))} beats; they were laid evenly (${findings.sayPlace(line.line.at)})`,
  );
  if (count < words.syllables.length)
    findings.leftOut(
      `${words.syllables.length - count} syllables for which the line has no time`,
      line.line.at,
    );
  return spreadEvenly(count, from, to);
}

function barOffset(part: LaidPart, line: LaidLine, tick: Ticks, meter: Meter): Ticks {
  const full = barTicks(meter);
  if (tick >= line.from) return (tick - line.from) % full;
  const before = part.lines.findLast((each) => each.from < line.from && each.from <= tick);
  return before ? (tick - before.from) % full : full - (line.from - tick);
}
