import { describe, expect, it } from 'vitest';
import { must, type Result } from '@/lib/base';
import { newBandDocument, newSongDocument } from '@/lib/document';
import { RANGES, rangeInWords } from '@/lib/document/mends';
import type { Fill } from '@/lib/song';
import { BAND, bandEdits, bar, SONG, songEdits } from './sample';

const PLACE = { passId: 'pass-1', noteId: 'n3', voiceId: 'lead' };
const song = () => songEdits(newSongDocument(SONG));
const band = () => bandEdits(newBandDocument(BAND));
const { holding } = must(SONG.settled[0], 's1');
const FILL: Fill = holding.kind === 'fill' ? holding.fill : { family: '', notes: [], chords: [] };
const fillWith = (fields: object) =>
  song().settle(
    PLACE,
    { from: 0, to: 960 },
    {
      kind: 'fill',
      playerId: 'ann',
      fill: { ...FILL, notes: FILL.notes.map((note) => ({ ...note, ...fields })) },
    },
  );
const newBar = (fields: object) => {
  const { id: _id, ...rest } = bar('');
  return song().insertBar('verse', null, { ...rest, ...fields });
};
/** A bar in which every place lies, so that only the number decides. */
const wide = () =>
  songEdits(
    newSongDocument({
      ...SONG,
      sections: [{ id: 'verse', name: '', bars: [bar('wide', { ticks: 10_000_000 })] }],
      notes: SONG.notes.slice(0, 1).map((note) => ({ ...note, barId: 'wide' })),
    }),
  );

/** By field: an edit with a number in it. */
const TRY: Readonly<Record<string, (n: number) => Result<unknown>>> = {
  tempo: (n) => song().setTempo(n),
  ratio: (n) => song().setFeel({ ratio: n }),
  transposition: (n) => song().transpose(n),
  stanza: (n) => song().addPass({ sectionId: 'verse', stanza: n }),
  ending: (n) => song().setPass('pass-1', { ending: n }),
  endings: (n) => song().setBar('v1', { endings: [n] }),
  midi: (n) => song().setNote('n2', { midi: n }),
  ticks: (n) => song().setNote('n2', { ticks: n }),
  count: (n) => newBar({ meter: { count: n, unit: 4 } }),
  capo: (n) => song().setSetting('ann', { capo: n }),
  fifthCapo: (n) => song().setSetting('ann', { fifthCapo: n }),
  comfortEighthsPerMinute: (n) => band().setPlayer('ann', { comfortEighthsPerMinute: n }),
  spanMillimetres: (n) => band().setPlayer('ann', { spanMillimetres: n }),
  ink: (n) => band().setPlayer('ann', { ink: n }),
  time: (n) => band().setTarget('short', n),
  from: (n) => song().settle(PLACE, { from: n, to: 1_000_000 }, { kind: 'left open' }),
  to: (n) => song().settle(PLACE, { from: -1_000_000, to: n }, { kind: 'left open' }),
  low: (n) => song().setVoice('lead', { range: { low: n, high: 127 } }),
  high: (n) => song().setVoice('lead', { range: { low: 0, high: n } }),
  energy: (n) => band().setSong('mill', { energy: n }),
  talkSeconds: (n) => band().setEntry('e1', { talkSeconds: n }),
  linkBars: (n) => band().setEntry('e1', { linkBars: n }),
  openShare: (n) => band().setSettings({ openShare: n }),
  microphoneInSeconds: (n) => band().setSettings({ microphoneInSeconds: n }),
  microphoneOutSeconds: (n) => band().setSettings({ microphoneOutSeconds: n }),
  string: (n) => fillWith({ string: n }),
  fret: (n) => fillWith({ fret: n }),
  finger: (n) => fillWith({ finger: n }),
};

const mend = (result: Result<unknown>) => (result.ok ? null : result.error.mend);

describe('what a refused number is answered with', () => {
  it('is tried for every field', () => {
    expect([...Object.keys(TRY), 'offset'].sort()).toEqual(Object.keys(RANGES).sort());
  });

  for (const [field, attempt] of Object.entries(TRY)) {
    it(`says the range of ${field} as it is`, () => {
      const range = must(RANGES[field], field);
      const words = rangeInWords(range);
      const step = range.whole ? 1 : 0.001;
      const inside = [range.from, range.to ?? 1e9].filter((n) => !(field === 'from' && n > 0));
      for (const n of inside) if (!(field === 'to' && n < 0)) expect(mend(attempt(n)), `${n}`).toBeNull();
      expect(mend(attempt(range.from - step))).toBe(words);
      if (range.to !== null) expect(mend(attempt(range.to + step))).toBe(words);
      if (range.whole) expect(mend(attempt(range.from + 0.5))).toBe(words);
      expect(mend(attempt(Number.NaN))).toBe(words);
    });
  }

  it('says the range of a place in a bar as it is', () => {
    expect(mend(wide().setNote('n1', { offset: 0 }))).toBeNull();
    expect(mend(wide().setNote('n1', { offset: 9_999_999 }))).toBeNull();
    for (const offset of [-1, 10_000_001])
      expect(mend(wide().setNote('n1', { offset }))).toBe(
        'A place in a bar is a whole number between 0 and 10,000,000 ticks',
      );
  });

  it('reads as a person would say it', () => {
    expect(mend(song().setTempo(5))).toBe('A tempo lies between 10 and 600 quarter notes a minute');
    expect(mend(song().setBar('v1', { tempo: 601 }))).toBe(mend(song().setTempo(5)));
    expect(mend(band().setTarget('short', -1))).toBe('A time is 0 seconds or more');
    expect(mend(song().setKey({ tonic: 'H', mode: 'major' }))).toMatch(/^A key is named by its letter/);
    expect(mend(song().setTitle('x'.repeat(201)))).toBe('Shorten it to 200 signs');
    expect(mend(band().rename('  '))).toBe('Write something here');
    expect(mend(song().setChord('v1', 0, 'x'.repeat(61)))).toBe('Shorten it to 60 signs');
    const many = Array.from({ length: 21 }, (_, i) => i + 1);
    expect(mend(song().setBar('v1', { endings: many }))).toBe('At most 20 are possible: take some away');
    expect(mend(song().setSetting('dee', { capo: 1 }))).not.toMatch(/expected|received|invalid|input/i);
  });
});
