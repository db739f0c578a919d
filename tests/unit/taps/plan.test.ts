import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, randomFrom } from '@/lib/base';
import { readText } from '@/lib/exchange/text-read';
import { checkSong, type Pass, roadmapTimeline, type Song } from '@/lib/song';
import {
  eventsOf,
  follow,
  holdSyllable,
  type LaidLine,
  laidAsWritten,
  layTapped,
  moveSyllable,
  outsideOf,
  paced,
  planSung,
  type SnappedTap,
  sheetOf,
  type TapReading,
  type TapSheet,
  withSung,
} from '@/lib/taps';

const TEXT = `Title: The Lower Ford
Key: G

[Verse]
[G]Carry me over the [C]lower ford,
[D]water is high to[G]day,
1. carry me over the lower ford,

[Chorus]
[C]Over and over we [G]go
`;
const STANZAS = `Title: The Lower Ford

Verse 1:
G              C
Carry the lamp along,
D               G
never a word of wrong.

Verse 2:
Bring me the other oar and the lamp,
down to the river side.

Verse 3:
Tell me the way again,
out of the wind and rain.
`;

const idsFrom = (seed: number) => makeIds(randomFrom(seed));

function songOf(text: string): Song {
  const read = readText(text, { title: 'a', makeId: idsFrom(1) });
  if (!read.ok) throw new Error(read.error.what);
  return read.value.song;
}

const sheet = (song: Song, pass: Pass): TapSheet => {
  const made = sheetOf(song, pass, (line) => line.map(() => 1 as const));
  if (!made) throw new Error('nothing to tap');
  return made;
};

/** What is sung in a pass: onsets, ends and words as they sound. A syllable held over a note without a word is one. */
function sung(song: Song, pass: Pass): readonly (readonly [number, number, string])[] {
  const alone = roadmapTimeline({ ...song, passes: [pass] });
  const notes = alone.notes.get(itemAt(song.voices, 0).id) ?? [];
  const heard: [number, number, string][] = [];
  for (const { startTick, endTick, syllable } of notes) {
    const last = heard[heard.length - 1];
    if (!syllable && last && last[1] === startTick) last[1] = endTick;
    else heard.push([startTick, endTick, syllable?.text ?? '']);
  }
  return heard;
}

const meantBy = (lines: readonly LaidLine[]): readonly (readonly [number, number, string])[] =>
  lines.flatMap(({ syllables }) =>
    syllables.map(({ tick, ticks, text }) => [tick, tick + ticks, text] as [number, number, string]),
  );

const passOf = (song: Song, stanza: number): Pass =>
  itemAt(
    song.passes.filter((pass) => pass.stanza === stanza),
    0,
  );

const snapped = (event: number, tick: number, ticks: number, margin = 9): SnappedTap => ({
  tap: event,
  event,
  tick,
  ticks,
  lateSeconds: 0,
  margin,
  otherTick: null,
  reasons: [],
});
const reading = (taps: readonly SnappedTap[]): TapReading => ({
  snapped: taps,
  slips: [],
  missed: [],
  cost: 0,
  spreadSeconds: 0,
  leanSeconds: 0,
  drift: 0,
  clock: { quartersPerMinute: 100, zeroSeconds: 0 },
});

describe('the sheet of a pass', () => {
  it('has its lines of words, each syllable with its note, and the bars under them', () => {
    const song = songOf(STANZAS);
    const own = sheet(song, passOf(song, 1));
    expect(own.lines.map(({ syllables }) => syllables.map(({ text }) => text).join('|'))).toEqual([
      'Car|ry|the|lamp|a|long,',
      'ne|ver|a|word|of|wrong.',
    ]);
    expect(own.bars).toHaveLength(4);
    expect(own.room).toHaveLength(1 + 4 + 6);
    expect(eventsOf(own, 'lines').map(({ startsLine }) => startsLine)).toEqual([true, true]);
    expect(eventsOf(own, 'syllables')).toHaveLength(12);
  });

  it('is not there where nobody sings', () => {
    const song = songOf(STANZAS);
    expect(sheetOf(song, { ...passOf(song, 1), stanza: null }, () => [])).toBeNull();
  });
});

describe('a tapped pass', () => {
  it('puts the words of a held line inside the hold, and leaves one that stands there already', () => {
    const song = songOf(TEXT);
    const own = sheet(song, itemAt(song.passes, 0));
    const first = itemAt(itemAt(own.lines, 0).syllables, 0);
    const laid = layTapped(own, reading([snapped(0, first.tick + 960, 5 * 960)]), 'lines');
    const line = itemAt(laid, 0);
    expect(line.tapped).toBe(true);
    expect(itemAt(line.syllables, 0).tick).toBe(first.tick + 960);
    const last = itemAt(line.syllables, line.syllables.length - 1);
    expect(last.tick + last.ticks).toBe(first.tick + 6 * 960);
    expect(itemAt(laid, 1).tapped).toBe(false);
  });

  it('spreads a missed syllable between its neighbours', () => {
    const song = songOf(STANZAS);
    const own = sheet(song, passOf(song, 1));
    const taps = [0, 1, 3, 4, 5].map((event, i) =>
      snapped(event, itemAt([0, 480, 1920, 2880, 3840], i), 400),
    );
    const line = itemAt(layTapped(own, reading(taps), 'syllables'), 0);
    const ticks = line.syllables.map(({ tick }) => tick);
    expect(ticks.filter((_, i) => i !== 2)).toEqual([0, 480, 1920, 2880, 3840]);
    expect(itemAt(ticks, 2)).toBeGreaterThan(480);
    expect(itemAt(ticks, 2)).toBeLessThan(1920);
    expect(line.unsure).toContain(2);
  });

  it('changes only what differs: a second stanza shares the notes of the first where it is sung alike', () => {
    const song = songOf(STANZAS);
    const third = sheet(song, passOf(song, 3));
    const moved = moveSyllable(laidAsWritten(third), 1, 5, 480, false, third.endTick);
    const change = planSung(song, [{ sheet: third, lines: moved }], idsFrom(2));
    const after = withSung(song, change);
    expect(checkSong(after)).toEqual([]);
    expect(change.remove).toEqual([]);
    expect(change.put.length).toBeLessThanOrEqual(3);
    for (const stanza of [1, 2])
      expect(sung(after, passOf(song, stanza))).toEqual(sung(song, passOf(song, stanza)));
    expect(sung(after, passOf(song, 3))).toEqual(meantBy(moved));
  });

  it('leaves a song alone that is sung as it stands', () => {
    const song = songOf(STANZAS);
    const own = sheet(song, passOf(song, 1));
    expect(planSung(song, [{ sheet: own, lines: laidAsWritten(own) }], idsFrom(2))).toEqual({
      put: [],
      remove: [],
    });
  });

  it('frees a stanza of a note that others begin with while it is still silent', () => {
    // As a song has it whose notes are all sung in every stanza.
    const read = songOf(STANZAS);
    const song = { ...read, notes: read.notes.map((note) => ({ ...note, stanzas: [] })) };
    const own = sheet(song, passOf(song, 3));
    const change = planSung(song, [{ sheet: own, lines: laidAsWritten(own) }], idsFrom(2));
    expect(change.put.map(({ stanzas }) => stanzas)).toEqual([[1, 2]]);
  });

  it('takes the other stanzas along, on the same onsets where they have as many syllables', () => {
    const song = songOf(STANZAS);
    const first = sheet(song, passOf(song, 1));
    const taps = Array.from({ length: 12 }, (_, i) => snapped(i, 480 + i * 480 + (i > 5 ? 3840 : 0), 480));
    const laid = layTapped(first, reading(taps), 'syllables');
    const others = [2, 3].map((stanza) => {
      const own = sheet(song, passOf(song, stanza));
      return { sheet: own, lines: follow(own, laid) };
    });
    const after = withSung(song, planSung(song, [{ sheet: first, lines: laid }, ...others], idsFrom(2)));
    expect(checkSong(after)).toEqual([]);
    const onsets = (stanza: number) => sung(after, passOf(song, stanza)).map(([tick]) => tick);
    expect(onsets(1)).toEqual(taps.map(({ tick }) => tick));
    expect(onsets(3)).toEqual(onsets(1));
    expect(onsets(2)[0]).toBe(480);
  });

  it('gives way with a line that nobody tapped, where a tapped one comes before it or lies on it', () => {
    const song = songOf(STANZAS);
    const own = sheet(song, passOf(song, 1));
    const written = itemAt(own.lines, 1).syllables;
    const late = layTapped(own, reading([snapped(0, 7680, 3840)]), 'lines');
    expect(itemAt(itemAt(late, 1).syllables, 0).tick).toBe(7680 + 3840);
    expect(itemAt(late, 1).syllables).toHaveLength(written.length);
    const second = layTapped(own, reading([snapped(1, 1920, 3840)]), 'lines');
    const ticks = itemAt(second, 0).syllables.map(({ tick }) => tick);
    expect(Math.max(...ticks)).toBeLessThan(1920);
    expect([...ticks].sort((a, b) => a - b)).toEqual(ticks);
  });

  it('leaves lines as they were that lie outside the bars, and says which', () => {
    const song = songOf(STANZAS);
    const own = sheet(song, passOf(song, 1));
    const laid = layTapped(own, reading([snapped(0, 0, 3840), snapped(1, own.endTick + 960, 3840)]), 'lines');
    expect(outsideOf(own, laid)).toEqual([1]);
    const after = withSung(song, planSung(song, [{ sheet: own, lines: laid }], idsFrom(2)));
    expect(sung(after, passOf(song, 1)).slice(6)).toEqual(sung(song, passOf(song, 1)).slice(6));
  });

  it('follows with fewer syllables on some of the onsets, words alike on the same ones', () => {
    const song = songOf(`Title: The Mill

Verse 1:
G             D
Carry the lamp away to the mill,

Verse 2:
Carry it down to the mill,
`);
    const first = sheet(song, passOf(song, 1));
    const onsets = [0, 1, 2, 3, 4, 5, 6, 6.5, 7];
    const taps = onsets.map((beat, i) => snapped(i, beat * 960, 480));
    const laid = layTapped(first, reading(taps), 'syllables');
    const second = itemAt(follow(sheet(song, passOf(song, 2)), laid), 0).syllables;
    expect(second.map(({ text }) => text).join(' ')).toBe('Car ry it down to the mill,');
    const beats = second.map(({ tick }) => tick / 960);
    for (const beat of beats) expect(onsets).toContain(beat);
    expect(beats.slice(0, 2)).toEqual([0, 1]);
    expect(beats.slice(-3)).toEqual([6, 6.5, 7]);
  });

  it('keeps the note of a word that moves, so that what hangs on it stays', () => {
    const song = songOf(STANZAS.slice(0, STANZAS.indexOf('Verse 2')));
    const own = sheet(song, passOf(song, 1));
    const moved = moveSyllable(laidAsWritten(own), 0, 5, 480, false, own.endTick);
    const change = planSung(song, [{ sheet: own, lines: moved }], idsFrom(2));
    expect(change.remove).toEqual([]);
    expect(change.put.map(({ id }) => id)).toContain(itemAt(itemAt(own.lines, 0).syllables, 5).noteId);
    expect(withSung(song, change).notes).toHaveLength(song.notes.length);
  });
});

it('whatever is laid is sung so, and every other stanza as before', () => {
  const song = songOf(STANZAS);
  const move = fc.record({
    stanza: fc.integer({ min: 1, max: 3 }),
    line: fc.nat(1),
    index: fc.nat(9),
    by: fc.integer({ min: -6, max: 6 }),
    how: fc.constantFrom('move', 'rest', 'hold'),
  });
  fc.assert(
    fc.property(
      fc.array(fc.array(move, { minLength: 1, maxLength: 6 }), { minLength: 1, maxLength: 4 }),
      (rounds) => {
        let now = song;
        rounds.forEach((moves, round) => {
          const stanza = itemAt(moves, 0).stanza;
          const own = sheet(now, passOf(now, stanza));
          let lines = laidAsWritten(own);
          for (const { line, index, by, how } of moves)
            lines =
              how === 'hold'
                ? holdSyllable(lines, line, index, by * 240, own.endTick)
                : moveSyllable(lines, line, index, by * 240, how === 'rest', own.endTick);
          const after = withSung(now, planSung(now, [{ sheet: own, lines }], idsFrom(100 + round)));
          expect(checkSong(after)).toEqual([]);
          for (const each of [1, 2, 3])
            expect(sung(after, passOf(song, each))).toEqual(
              each === stanza ? meantBy(lines) : sung(now, passOf(song, each)),
            );
          now = after;
        });
      },
    ),
    { numRuns: 60, seed: 22 },
  );
});

it('a syllable moved by hand stays between its neighbours and inside the pass', () => {
  const song = songOf(STANZAS);
  const own = sheet(song, passOf(song, 1));
  const lines = laidAsWritten(own);
  expect(moveSyllable(lines, 0, 0, -960, false, own.endTick)).toBe(lines);
  expect(moveSyllable(lines, 0, 1, 96_000, false, own.endTick)).toBe(lines);
  expect(moveSyllable(lines, 7, 0, 240, false, own.endTick)).toBe(lines);
  expect(holdSyllable(lines, 1, 5, 96_000, own.endTick)).toBe(lines);
});

it('a line may be moved before the first bar where a pickup can be put in, and no further', () => {
  const song = songOf(STANZAS);
  const own = sheet(song, passOf(song, 1));
  const lines = laidAsWritten(own);
  const early = moveSyllable(lines, 0, 0, -960, false, own.endTick, -2880);
  expect(itemAt(itemAt(early, 0).syllables, 0).tick).toBe(-960);
  expect(outsideOf(own, early)).toEqual([0]);
  const held = holdSyllable(early, 0, 0, -480, own.endTick);
  expect(itemAt(itemAt(held, 0).syllables, 0).ticks).toBe(itemAt(itemAt(early, 0).syllables, 0).ticks - 480);
  expect(moveSyllable(lines, 0, 0, -3840, false, own.endTick, -2880)).toBe(lines);
});

it('a whole guess is sung over twice the beats, or half of them, from its first downbeat', () => {
  const song = songOf(STANZAS);
  const own = sheet(song, passOf(song, 1));
  const lines = moveSyllable(laidAsWritten(own), 0, 0, -960, false, own.endTick, -2880);
  const slow = paced(lines, 2, 0);
  expect(slow.map(({ syllables }) => syllables.map(({ tick }) => tick / 2))).toEqual(
    lines.map(({ syllables }) => syllables.map(({ tick }) => tick)),
  );
  expect(itemAt(itemAt(slow, 0).syllables, 0).tick).toBe(-1920);
  expect(paced(slow, 0.5, 0)).toEqual(lines.map((line) => ({ ...line, tapped: true })));
  // Counted from a later downbeat, that one stays.
  expect(itemAt(itemAt(paced(lines, 2, -960), 0).syllables, 0).tick).toBe(-960);
  // Too fast to be told apart: as it was.
  const fast = [0, 1, 2, 3].reduce<readonly LaidLine[]>((now) => paced(now, 0.5, 0), lines);
  const onsets = fast.flatMap(({ syllables }) => syllables.map(({ tick }) => tick));
  for (const [i, tick] of onsets.entries()) if (i > 0) expect(tick).toBeGreaterThan(itemAt(onsets, i - 1));
  expect(paced(fast, 0.5, 0)).toBe(fast);
});
