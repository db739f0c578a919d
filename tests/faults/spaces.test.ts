import { describe, expect, it } from 'vitest';
import { itemAt, must } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import {
  type Bar,
  roadmapTimeline,
  type Song,
  type SungNote,
  UNDECIDED,
  writtenTimeline,
} from '../../lib/song';
import { phrasesAndSpaces } from '../../lib/spaces';

const BAR = 3840;
const bar = (i: number, rest: Partial<Bar> = {}): Bar => ({
  id: `b${i}`,
  meter: { count: 4, unit: 4 },
  ticks: BAR,
  pickup: false,
  endings: [],
  key: null,
  tempo: null,
  ...rest,
});
const note = (tick: number, ticks: number, rest: Partial<SungNote> = {}): SungNote => ({
  id: `n${tick}`,
  voiceId: 'v1',
  barId: `b${Math.floor(tick / BAR)}`,
  offset: tick % BAR,
  ticks,
  midi: 60 + ((tick / 480) % 7),
  syllables: [],
  stanzas: [],
  breath: false,
  fermata: false,
  ...rest,
});

function song(bars: number, notes: readonly SungNote[], voices = ['v1']): Song {
  return {
    ...UNDECIDED,
    id: 'song',
    title: 'Song',
    key: { tonic: 'C', mode: 'major' },
    tempo: 100,
    feel: { ratio: 1 },
    sections: [{ id: 's1', name: '', bars: Array.from({ length: bars }, (_, i) => bar(i)) }],
    passes: [],
    voices: voices.map((id, i) => ({
      id,
      name: id,
      part: i === 0 ? 'lead' : 'tenor',
      playerId: null,
      range: null,
    })),
    notes,
    chords: [],
    settings: [],
    settled: [],
    proposals: [],
    votes: [],
    comments: [],
  };
}

/** Every note of every voice in one phrase, every phrase and space inside the song, every number a number. */
function answer(given: Song, ignoreWords = false) {
  const timeline = writtenTimeline(given);
  const { phrases, spaces } = phrasesAndSpaces(timeline, { minBeats: 1.5, ignoreWords });
  for (const [voiceId, notes] of timeline.notes) {
    const own = phrases.filter((phrase) => phrase.voiceId === voiceId);
    expect(
      own.flatMap(({ firstNote, lastNote }) => lastNote - firstNote + 1).reduce((a, b) => a + b, 0),
    ).toBe(notes.length);
  }
  for (const each of spaces) {
    expect(each.startTick).toBeLessThan(each.endTick);
    expect(each.endTick).toBeLessThanOrEqual(timeline.endTick);
    expect(Number.isFinite(each.beats + each.seconds + each.guardTicks)).toBe(true);
  }
  for (const reason of phrases.flatMap((phrase) => phrase.why)) {
    expect(Number.isFinite(reason.weight), reason.rule).toBe(true);
  }
  return { phrases, spaces };
}

const line = (from: number, count: number, ticks = 960) =>
  Array.from({ length: count }, (_, i) => note(from + i * ticks, ticks));

describe('songs that nobody would write', () => {
  it('with notes of one voice over one another: each ends where the next begins', () => {
    const overlapping = Array.from({ length: 16 }, (_, i) => note(i * 960, 5000));
    const { phrases, spaces } = answer(song(6, overlapping));
    expect(phrases[phrases.length - 1]?.lastNote).toBe(15);
    // The last one lasts 5000 ticks from tick 14400; from there on all is silent.
    expect(spaces.find((space) => space.kind === 'closing')?.startTick).toBe(19400);
  });

  it('with two notes at once: the higher is sung', () => {
    const both = [...line(0, 8), ...line(0, 8).map((each) => ({ ...each, id: `${each.id}b`, midi: 90 }))];
    expect(answer(song(4, both)).phrases.flatMap((phrase) => phrase.why).length).toBeGreaterThan(0);
  });

  it('without a single rest or long note', () => {
    const { phrases } = answer(song(60, line(0, 240)));
    expect(phrases.length).toBeGreaterThan(10);
  });

  it('with one note, with a voice that has none, and with none at all', () => {
    expect(answer(song(1, [note(0, 960)])).phrases).toHaveLength(1);
    expect(answer(song(4, line(0, 8), ['v1', 'v2'])).phrases.every((each) => each.voiceId === 'v1')).toBe(
      true,
    );
    expect(answer(song(4, line(0, 8), ['v2', 'v1'])).spaces.map((space) => space.kind)).toEqual(['closing']);
    const { phrases, spaces } = answer(song(4, []));
    expect(phrases).toEqual([]);
    expect(spaces.map((space) => space.kind)).toEqual(['instrumental']);
  });

  it('held for more than 60 bars, or sung on for as long without an end', () => {
    const held = answer(song(70, [...line(0, 4), note(BAR, 64 * BAR), ...line(65 * BAR, 8)]));
    expect(held.spaces.some((space) => space.kind === 'under-tail' && space.seconds > 100)).toBe(true);
    const joined: Song = {
      ...song(66, line(0, 264)),
      phraseEnds: line(0, 263).map(({ id }) => ({ noteId: id, stanza: null, ends: false })),
    };
    expect(answer(joined).phrases.map((phrase) => phrase.lastNote)).toEqual([263]);
  });

  it('with notes as short as can be', () => {
    answer(
      song(
        2,
        Array.from({ length: 500 }, (_, i) => note(i, 1)),
      ),
    );
  });

  it('with words that never end, and only marks for words', () => {
    const worded = (text: string, joins: boolean) =>
      line(0, 100).map((each) => ({ ...each, syllables: [{ text, joins, endsLine: false }] }));
    expect(answer(song(30, worded('la', true))).phrases.length).toBeGreaterThan(0);
    expect(answer(song(30, worded('?!', false))).phrases.length).toBeGreaterThan(0);
    expect(answer(song(30, worded('', false))).phrases.length).toBeGreaterThan(0);
    expect(answer(song(30, worded('e'.repeat(200), false))).phrases.length).toBeGreaterThan(0);
  });

  it('with a word of the band on every note, or on notes that are gone', () => {
    const notes = line(0, 12);
    const everywhere = notes.map(({ id }) => ({ noteId: id, stanza: null, ends: true }));
    expect(answer({ ...song(3, notes), phraseEnds: everywhere }).phrases).toHaveLength(12);
    const gone = [{ noteId: 'gone', stanza: 4, ends: true }];
    expect(answer({ ...song(3, notes), phraseEnds: gone }).phrases).toEqual(answer(song(3, notes)).phrases);
  });

  it('with bars that change all the time, in meter, length and tempo', () => {
    const given = song(
      12,
      [0, 1, 2, 5, 6, 7, 9, 10, 11].map((i) => note(i * BAR, 700)),
    );
    const bars = must(given.sections[0], 'a section').bars.map((each, i) => ({
      ...each,
      meter: itemAt(
        [
          { count: 7, unit: 8 },
          { count: 1, unit: 32 },
          { count: 64, unit: 1 },
        ] as const,
        i % 3,
      ),
      ticks: 1000 + i * 377,
      tempo: i % 2 === 0 ? 10 : 600,
    }));
    answer({ ...given, sections: [{ ...must(given.sections[0], 'a section'), bars }] });
  });

  it('with passes that sing nothing, or nothing that there is', () => {
    const given = song(4, line(0, 8));
    const pass = (id: string, stanza: number | null, sectionId = 's1') => ({
      id,
      sectionId,
      stanza,
      ending: 9,
      name: '',
      roles: {},
    });
    const passes = [pass('p1', null), pass('p2', 40), pass('p3', 1, 'gone')];
    const { phrases, spaces } = phrasesAndSpaces(roadmapTimeline({ ...given, passes }));
    expect(phrases.every((phrase) => phrase.passId === 'p2')).toBe(true);
    expect(spaces.map((space) => space.kind)).toEqual(['instrumental', 'closing']);
  });
});

describe('files with words and notes that do not match', () => {
  const read = async (body: string) => {
    let count = 0;
    const song = await readSongFile('a.abc', `X:1\nT:A\nM:4/4\nL:1/4\nK:C\n${body}\n`, {
      makeId: () => `i${count++}`,
    });
    if (!song.ok) throw new Error(song.error.what);
    return song.value.song;
  };

  it('are answered: more words than notes, more notes than words, words in any script', async () => {
    for (const body of [
      'c d e f | g4 |]\nw: one two three four five six se-ven eight',
      'c d e f | g a b c | c d e f | g4 |]\nw: one two',
      'c d e f | g4 |]\nw: ありがとう。 さくら שלום مرحبا здравствуй',
      'c d e f | g4 |]\nw: * * * * *',
      'z4 | z4 |]',
    ]) {
      answer(await read(body));
    }
  });
});
