import type * as Y from 'yjs';
import { type MakeId, makeIds, randomFrom } from '@/lib/base';
import { BandEdits, SongEdits } from '@/lib/document';
import { type Answer, type Band, type Bar, type Song, USUAL_ENTRY, USUAL_SONG } from '@/lib/song';

/** Ids that differ from one replica to another and are the same in every run. */
export const idsOf = (replica: number): MakeId => makeIds(randomFrom(1000 + replica));

/** A clock that goes on by one at every look, so that no two edits are of one time. */
export function clock(start = 1_000): () => number {
  let time = start;
  return () => time++;
}

export const songEdits = (doc: Y.Doc, replica = 0, now = clock()): SongEdits =>
  new SongEdits(doc, { by: `player-${replica}`, now, makeId: idsOf(replica) });

export const bandEdits = (doc: Y.Doc, replica = 0): BandEdits =>
  new BandEdits(doc, { by: `player-${replica}`, now: clock(), makeId: idsOf(replica) });

export const bar = (id: string, fields: Partial<Bar> = {}): Bar => ({
  id,
  meter: { count: 3, unit: 4 },
  ticks: 2880,
  pickup: false,
  endings: [],
  key: null,
  tempo: null,
  ...fields,
});

export const answer = (
  id: string,
  at: number,
  noteId: string | null,
  holding: Answer['holding'],
): Answer => ({
  id,
  place: { passId: 'pass-1', noteId, voiceId: noteId === null ? null : 'lead' },
  extent: { from: 960, to: 4800 },
  holding,
  by: 'ann',
  at,
});

/** A song with one of everything, in the order in which documents are read. */
export const SONG: Song = {
  id: 'mill',
  title: 'The Mill Below',
  key: { tonic: 'D', mode: 'mixolydian' },
  tempo: 96,
  feel: { ratio: 2 },
  sections: [
    {
      id: 'verse',
      name: 'Verse',
      bars: [
        bar('v0', { ticks: 960, pickup: true }),
        bar('v1'),
        bar('v2', { meter: { count: 5, unit: 8 }, ticks: 2400, endings: [1, 3] }),
        bar('v3', { endings: [2], key: { tonic: 'E', mode: 'minor' }, tempo: 120 }),
      ],
    },
    { id: 'chorus', name: 'Chorus', bars: [bar('c1')] },
  ],
  passes: [
    { id: 'pass-0', sectionId: 'verse', stanza: null, ending: 1, name: 'Kick-off', roles: { ann: 'break' } },
    {
      id: 'pass-1',
      sectionId: 'verse',
      stanza: 1,
      ending: 1,
      name: '',
      roles: { ann: 'lead', bo: 'lay out' },
    },
    { id: 'pass-2', sectionId: 'chorus', stanza: 2, ending: 2, name: '', roles: {} },
  ],
  voices: [
    { id: 'lead', name: 'Lead', part: 'lead', playerId: 'ann', range: { low: 57, high: 71 } },
    { id: 'tenor', name: '', part: 'tenor', playerId: null, range: null },
  ],
  notes: [
    note('n1', 'lead', 'v0', 0, 62, ['The', 'A']),
    note('n2', 'lead', 'v1', 0, 66, ['mill', 'house']),
    note('n2t', 'tenor', 'v1', 0, 69, []),
    { ...note('n3', 'lead', 'v1', 960, 67, [null, 'stone']), stanzas: [1, 2], breath: true },
    { ...note('n4', 'lead', 'c1', 0, 69, ['below']), ticks: 2880, fermata: true },
  ],
  chords: [
    { id: 'ch1', barId: 'v1', offset: 0, symbol: 'D' },
    { id: 'ch2', barId: 'v1', offset: 1920, symbol: 'C/G' },
    { id: 'ch3', barId: 'c1', offset: 0, symbol: 'what is this' },
  ],
  settings: [
    { playerId: 'ann', instrument: 'guitar', tuning: 'drop D', capo: 2, fifthCapo: null, rule: 'alternate' },
    { playerId: 'bo', instrument: 'banjo', tuning: 'standard', capo: 2, fifthCapo: 4, rule: null },
  ],
  settled: [
    answer('s1', 10, 'n3', {
      kind: 'fill',
      playerId: 'ann',
      fill: {
        family: 'bass run',
        notes: [
          {
            tick: 960,
            ticks: 480,
            midi: 50,
            string: 4,
            fret: 0,
            finger: 0,
            articulation: 'struck',
            stroke: 'down',
            strokeRule: 'the beat',
            exception: false,
          },
          {
            tick: 1440,
            ticks: 480,
            midi: 52,
            string: 4,
            fret: 2,
            finger: 2,
            articulation: 'hammer',
            stroke: null,
            strokeRule: null,
            exception: false,
          },
        ],
        chords: [{ tick: 960, symbol: 'D' }],
      },
    }),
    answer('s2', 11, null, { kind: 'left open' }),
  ],
  proposals: [answer('p1', 12, 'n1', { kind: 'ad lib', playerId: 'bo' })],
  votes: [
    { proposalId: 'p1', playerId: 'ann', yes: true },
    { proposalId: 'p1', playerId: 'bo', yes: false },
  ],
  comments: [
    { id: 'k1', place: null, text: 'Slower?', by: 'bo', at: 20 },
    {
      id: 'k2',
      place: { passId: 'pass-1', noteId: 'n3', voiceId: 'lead' },
      text: 'Mine: ours',
      by: null,
      at: 21,
    },
  ],
  phraseEnds: [
    { noteId: 'n1', stanza: null, ends: false },
    { noteId: 'n3', stanza: null, ends: false },
    { noteId: 'n3', stanza: 2, ends: true },
  ],
  tempoRange: { low: 90, high: 102, at: 5 },
  start: { playerId: 'bo', with: 'the last line', counts: 'ann', tempo: 92 },
  ending: { kind: 'hold', signalBy: 'ann', note: 'watch the bow' },
  singing: [
    { passId: 'pass-1', voiceId: 'lead', noteId: null, playerId: 'bo' },
    { passId: 'pass-1', voiceId: 'lead', noteId: 'n3', playerId: 'ann' },
    { passId: 'pass-1', voiceId: 'tenor', noteId: 'n2t', playerId: null },
  ],
};

function note(
  id: string,
  voiceId: string,
  barId: string,
  offset: number,
  midi: number,
  words: readonly (string | null)[],
): Song['notes'][number] {
  return {
    id,
    voiceId,
    barId,
    offset,
    ticks: 960,
    midi,
    syllables: words.map((text) =>
      text === null ? null : { text, joins: text === 'be', endsLine: text === 'stone' },
    ),
    stanzas: [],
    breath: false,
    fermata: false,
  };
}

export const BAND: Band = {
  id: 'band',
  name: 'The Weir Street Five',
  players: [
    {
      id: 'ann',
      name: 'Ann',
      initials: 'A',
      instruments: ['guitar', 'voice'],
      sings: 'lead',
      rule: 'toward',
      comfortEighthsPerMinute: 400,
      spanMillimetres: null,
      range: { low: 45, high: 64 },
      ink: 0,
    },
    {
      id: 'bo',
      name: 'Bo',
      initials: 'Bo',
      instruments: ['banjo'],
      sings: 'none',
      rule: 'alternate',
      comfortEighthsPerMinute: null,
      spanMillimetres: 180,
      range: null,
      ink: 1,
    },
  ],
  songs: [
    { id: 'mill', title: 'The Mill Below', energy: 4, archived: false },
    { ...USUAL_SONG, id: 'hay', title: 'Hay Before Rain' },
    { id: 'late', title: 'Late Ferry', energy: null, archived: true },
  ],
  sets: [
    {
      id: 'friday',
      name: 'Friday',
      targetSeconds: 2700,
      entries: [
        {
          id: 'e1',
          songId: 'hay',
          note: 'say hello first',
          talkSeconds: 30,
          hold: 'first',
          linkBars: 2,
          breakAfter: true,
        },
        { ...USUAL_ENTRY, id: 'e2', songId: 'mill' },
        { ...USUAL_ENTRY, id: 'e3', songId: 'hay' },
      ],
      pairs: [{ songs: ['hay', 'mill'], wanted: 'near' }],
    },
    { id: 'short', name: 'Short one', targetSeconds: null, entries: [], pairs: [] },
  ],
  figures: [
    {
      id: 'f1',
      playerId: 'bo',
      name: 'Weir roll',
      instrument: 'banjo',
      chord: 'G',
      notes: [
        {
          tick: -480,
          ticks: 480,
          midi: 55,
          string: 3,
          fret: 0,
          finger: 0,
          articulation: 'struck',
          stroke: 'thumb',
          strokeRule: 'the roll',
          exception: false,
        },
      ],
      extent: { from: -480, to: 960 },
    },
  ],
  remarks: [{ id: 'r1', songId: 'mill', text: 'too fast', solid: false, by: 'ann', at: 30 }],
  leaderId: 'ann',
  oneMicrophone: true,
  microphoneInSeconds: 0.75,
  microphoneOutSeconds: 1.5,
  microphonePlaces: ['bo', 'ann'],
  votes: true,
  openShare: 0.3,
};
