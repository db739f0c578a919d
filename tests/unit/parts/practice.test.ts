import { describe, expect, it } from 'vitest';
import { itemAt } from '@/lib/base';
import { arrange, practiceTempos } from '@/lib/parts';
import { simplestOf } from '@/lib/parts/simplest';
import type { Answer, FillNote, Player, Song } from '@/lib/song';
import { demoBand } from '@/server/demo';
import { QUARTER, tinySong } from '../spaces/tiny-song';

const EIGHTH = QUARTER / 2;
const ann: Player = {
  id: 'Ann',
  name: 'Ann',
  initials: 'A',
  instruments: ['guitar'],
  sings: 'none',
  rule: 'alternate',
  comfortEighthsPerMinute: null,
  spanMillimetres: null,
  range: null,
  ink: 0,
};

describe('the tempos to practise at', () => {
  it('are half the song’s and up by tenths, none slower than a pulse is felt', () => {
    // By hand: shares of a half, six tenths and so on, rounded; 40 at least, and none twice.
    expect(practiceTempos(100)).toEqual([50, 60, 70, 80, 90, 100]);
    expect(practiceTempos(84)).toEqual([42, 50, 59, 67, 76, 84]);
    expect(practiceTempos(60)).toEqual([40, 42, 48, 54, 60]);
    expect(practiceTempos(30)).toEqual([30]);
  });
});

describe('a break as plain as can be', () => {
  /** Open strings of a guitar: struck, by string. */
  const note = (tick: number, string: number, midi: number, more: Partial<FillNote> = {}): FillNote => ({
    tick,
    ticks: EIGHTH,
    midi,
    string,
    fret: 0,
    finger: 0,
    articulation: 'struck',
    stroke: 'down',
    strokeRule: null,
    exception: false,
    ...more,
  });
  const bare = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '4 4' }] }], {
    passes: [{ stanza: null, roles: { Ann: 'break' } }],
  });
  const broken = (notes: readonly FillNote[]): Song => {
    const answer: Answer = {
      id: 'a',
      place: { passId: 'p1', noteId: null, voiceId: null },
      extent: { from: 0, to: 8 * QUARTER },
      holding: { kind: 'fill', playerId: 'Ann', fill: { family: 'melody', notes, chords: [] } },
      by: null,
      at: 1,
    };
    return { ...bare, settled: [answer] };
  };
  const simplest = (notes: readonly FillNote[]) => {
    const arrangement = arrange(broken(notes));
    return simplestOf(itemAt(arrangement.standings, 0), arrangement.timeline, ann);
  };

  it('keeps what stands on beats, struck anew and held until the next', () => {
    const notes = [
      note(0, 3, 55),
      note(EIGHTH, 2, 59),
      note(QUARTER, 3, 57, { fret: 2, finger: 2, articulation: 'hammer' }),
      note(2 * QUARTER, 2, 59),
      note(2 * QUARTER + EIGHTH, 1, 64),
      note(6 * QUARTER, 3, 55),
    ];
    const kept = simplest(notes);
    // By hand: the notes on beats 1, 2, 3 and 7; the third lasts two beats, which is the most.
    expect(kept?.map(({ tick, ticks, midi }) => [tick / QUARTER, ticks / QUARTER, midi])).toEqual([
      [0, 1, 55],
      [1, 1, 57],
      [2, 2, 59],
      [6, 1, 55],
    ]);
    expect(kept?.every(({ articulation }) => articulation === 'struck')).toBe(true);
  });

  it('is null where each note stands on a beat, or none does', () => {
    expect(simplest([note(0, 3, 55), note(QUARTER, 2, 59)])).toBeNull();
    expect(simplest([note(EIGHTH, 3, 55), note(QUARTER + EIGHTH, 2, 59)])).toBeNull();
  });
});

describe('a fill as plain as can be', () => {
  it('has fewer notes, begins and ends where it did, and says the same chord', async () => {
    const { band, songs } = await demoBand();
    let looked = 0;
    for (const song of songs) {
      const arrangement = arrange(song);
      for (const standing of arrangement.standings) {
        const { holding } = standing.answer;
        if (holding.kind !== 'fill') continue;
        const player = band.players.find(({ id }) => id === holding.playerId);
        if (!player) continue;
        const plain = simplestOf(standing, arrangement.timeline, player);
        if (plain === null) continue;
        looked += 1;
        expect(plain.length).toBeLessThan(standing.notes.length);
        expect(plain.length).toBeGreaterThan(0);
        for (const { tick, ticks } of plain) {
          expect(tick).toBeGreaterThanOrEqual(standing.startTick);
          expect(tick + ticks).toBeLessThanOrEqual(standing.space?.endTick ?? standing.endTick);
        }
      }
    }
    expect(looked).toBeGreaterThan(0);
  });

  it('is null for what has no notes', () => {
    const song = tinySong(
      [{ name: 'Verse', voices: [{ part: 'lead', notes: '1 z3 1 z3', words: ['la la'] }] }],
      {
        passes: [{ stanza: 1 }],
      },
    );
    const answer: Answer = {
      id: 'a',
      place: { passId: 'p1', noteId: 's1v1n1', voiceId: 'v1' },
      extent: { from: 960, to: 3840 },
      holding: { kind: 'ad lib', playerId: 'Ann' },
      by: null,
      at: 1,
    };
    const arrangement = arrange({ ...song, settled: [answer] });
    expect(simplestOf(itemAt(arrangement.standings, 0), arrangement.timeline, ann)).toBeNull();
  });
});
