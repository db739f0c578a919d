import { type Song, UNDECIDED } from '../../lib/song';

/** One bar, one note, one chord: a whole song, and no more. */
export const plainSong = (id: string): Song => ({
  id,
  title: 'Mill Race',
  key: { tonic: 'G', mode: 'major' },
  tempo: 100,
  feel: { ratio: 1 },
  sections: [
    {
      id: 's',
      name: 'Verse',
      bars: [
        {
          id: 'b1',
          meter: { count: 4, unit: 4 },
          ticks: 3840,
          pickup: false,
          endings: [],
          key: null,
          tempo: null,
        },
      ],
    },
  ],
  passes: [{ id: 'p1', sectionId: 's', stanza: 1, ending: 1, name: '', roles: {} }],
  voices: [{ id: 'v', name: 'Lead', part: 'lead', playerId: null, range: null }],
  notes: [
    {
      id: 'n1',
      voiceId: 'v',
      barId: 'b1',
      offset: 0,
      ticks: 960,
      midi: 67,
      syllables: [{ text: 'Down', joins: false, endsLine: true }],
      stanzas: [],
      breath: false,
      fermata: false,
    },
  ],
  chords: [{ id: 'c1', barId: 'b1', offset: 0, symbol: 'G' }],
  settings: [],
  settled: [],
  proposals: [],
  votes: [],
  comments: [],
  ...UNDECIDED,
});
