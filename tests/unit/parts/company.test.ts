import { Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { itemAt } from '@/lib/base';
import { arrange, chordNaming, cribSheets, othersInSpace, voicesInWords, withNewcomer } from '@/lib/parts';
import { breathsOf } from '@/lib/parts/company';
import { chartBlocks } from '@/lib/parts/sheet/chart';
import { type Answer, type Band, NEW_BAND, type Player, type Song, settingOf } from '@/lib/song';
import { measure } from '@/server/print';
import { somebody as player } from '../players/somebody';
import { QUARTER, tinySong } from '../spaces/tiny-song';

const [ann, ben, cy] = [
  player('Ann', { sings: 'lead' }),
  player('Ben', { instruments: ['banjo'], sings: 'tenor' }),
  player('Cy', { instruments: ['mandolin'] }),
] as const;
const band: Band = { id: 'b', name: 'Band', players: [ann, ben, cy], songs: [], sets: [], ...NEW_BAND };

/** Four bars and a pickup: four beats sung, three silent, five sung, three silent; twice sung, once played between. */
const bare = tinySong(
  [
    {
      name: 'Verse',
      pickup: 1,
      voices: [
        {
          part: 'lead',
          notes: '1 1 1 1 z3 1 1 1 2 z3',
          words: ['and so we go, but then they stay.', 'x x x x y y y y'],
          playerId: 'Ann',
        },
        {
          part: 'tenor',
          notes: 'z1 1 1 1 z3 1 1 1 2 z3',
          words: ['so we go, but then they stay.', 'x x x y y y y'],
          playerId: 'Ben',
        },
      ],
    },
  ],
  {
    passes: [
      { stanza: 1, roles: { Ann: 'lead' } },
      { stanza: null, roles: { Cy: 'break' } },
      { stanza: 2, roles: { Ann: 'lead', Ben: 'lay out' } },
    ],
  },
);
const bars = itemAt(bare.sections, 0).bars;
const chordAt = (bar: number, offset: number, symbol: string) => ({
  id: `c${bar} ${offset}`,
  barId: itemAt(bars, bar).id,
  offset,
  symbol,
});
/** Bar 1 of the verse has two chords, bar 3 holds what was before it. */
const song: Song = {
  ...bare,
  chords: [chordAt(1, 0, 'G'), chordAt(1, 2 * QUARTER, 'C'), chordAt(2, 0, 'D7'), chordAt(4, 0, 'G')],
};
const arrangement = arrange(song);
const firstSilence = itemAt(
  arrangement.spaces.filter(({ kind, place }) => kind === 'between' && place.passId === 'p1'),
  0,
);

describe('what the others do in a space', () => {
  // Common practice, no source: boom-chuck on guitar, chop on mandolin, vamp on banjo; who chops hands it on when they take the fill.
  it('is said by instrument', () => {
    expect(othersInSpace(arrangement, band, ben, firstSilence)).toBe('Ann plays boom-chuck, Cy chops');
  });

  it('has the chop taken over by one other while the chopper is busy', () => {
    const said = othersInSpace(arrangement, band, cy, firstSilence);
    expect(said.match(/keeps the chop/g)).toHaveLength(1);
    expect(said).not.toContain('Cy');
    const alone = othersInSpace(arrangement, { ...band, players: [cy] }, cy, firstSilence);
    expect(alone).toBe('');
  });

  it('says who lays out, and who has notes of their own', () => {
    const last = itemAt(
      arrangement.spaces.filter(({ kind, place }) => kind === 'between' && place.passId === 'p3'),
      0,
    );
    expect(othersInSpace(arrangement, band, ann, last)).toContain('Ben lays out');
    const adLib: Answer = {
      id: 'a',
      place: firstSilence.place,
      extent: { from: 960, to: 3840 },
      holding: { kind: 'ad lib', playerId: 'Cy' },
      by: null,
      at: 1,
    };
    const taken = arrange({ ...song, settled: [adLib] });
    expect(othersInSpace(taken, band, ben, firstSilence)).toContain('Cy has notes here too');
  });

  it('without a chord written is backing up, no more', () => {
    expect(othersInSpace(arrange(bare), band, ben, firstSilence)).toBe('Ann backs up, Cy backs up');
  });
});

describe('who sings what', () => {
  const first = itemAt(song.passes, 0);

  it('is said part by part, without the reader', () => {
    expect(voicesInWords(arrangement, band, first, null)).toBe('Ann lead, Ben tenor');
    expect(voicesInWords(arrangement, band, first, 'Ann')).toBe('Ben tenor');
    expect(voicesInWords(arrangement, band, itemAt(song.passes, 1), null)).toBe('');
  });

  it('breathes where the phrases that they sing end', () => {
    // By hand: a pass is 17 beats; phrases end after beats 4 and 12 of the first and of the third.
    const beats = (player: Player) => [...breathsOf(arrangement, player)].map((tick) => tick / QUARTER);
    expect(beats(ann).sort((a, b) => a - b)).toEqual([4, 12, 38, 46]);
    expect(beats(cy)).toEqual([]);
  });
});

describe('chords bar by bar', () => {
  const blocks = (capo: number) =>
    chartBlocks({
      arrangement,
      names: chordNaming(arrangement.timeline, capo),
      under: chordNaming(arrangement.timeline, capo, 'degrees'),
      width: 640,
      measure,
    });
  const textsOf = (capo: number) =>
    blocks(capo).flatMap(({ drawing }) => drawing.flatMap((one) => (one.kind === 'text' ? [one] : [])));

  it('has each section once, with where in the order it stands', () => {
    const said = textsOf(0).map(({ text }) => text.trim());
    expect(said).toContain('Verse');
    expect(said.join(' ')).toContain('numbers 1, 2, 3');
    expect(said.filter((text) => text === 'Verse')).toHaveLength(1);
  });

  it('names chords as shapes, their degrees under them, and says a held one again fainter', () => {
    // Reference library: tonal, for the roots of shapes two frets below what sounds.
    const shape = (root: string) => Note.simplify(Note.transpose(root, '-2M'));
    const written = textsOf(2);
    const chords = written.filter(({ face, size }) => face === 'strong' && size === 20);
    expect(chords.map(({ text }) => text)).toEqual(
      [shape('G'), shape('C'), `${shape('D')}7`, `${shape('D')}7`, shape('G')].map((text) =>
        text.replace('b', '♭'),
      ),
    );
    expect(chords.map(({ tone }) => tone)).toEqual(['ink', 'ink', 'ink', 'quiet', 'ink']);
    // Scale degrees of G major: C is the fourth, D7 the fifth with its seventh.
    const under = written.filter(({ face, tone, y }) => face === 'plain' && tone === 'quiet' && y > 30);
    expect(under.map(({ text }) => text)).toEqual(['1', '4', '5⁷', '5⁷', '1']);
  });

  it('puts a chord where it comes in its bar', () => {
    const lines = blocks(0)
      .flatMap(({ drawing }) => drawing)
      .flatMap((one) => (one.kind === 'line' && one.x1 === one.x2 ? [one.x1] : []));
    const barWidth = itemAt(lines, 1) - itemAt(lines, 0);
    const c = textsOf(0).find(({ text }) => text === 'C');
    // It comes on the third of four beats: half way through the bar, within its margin.
    expect(((c?.x ?? 0) - itemAt(lines, 0)) / barWidth).toBeGreaterThan(0.4);
    expect(((c?.x ?? 0) - itemAt(lines, 0)) / barWidth).toBeLessThan(0.6);
  });
});

describe('a crib', () => {
  it('sets a newcomer up as whoever plays that instrument', () => {
    const setting = { ...settingOf(song, ann), capo: 4 };
    const made = withNewcomer(band, { ...song, settings: [setting] }, 'guitar');
    expect(settingOf(made.song, made.player)).toMatchObject({ instrument: 'guitar', capo: 4 });
    expect(band.players.some(({ id }) => id === made.player.id)).toBe(false);
  });

  it('else with a capo under which the song lies in open shapes', () => {
    const flat: Song = { ...song, key: { tonic: 'Bb', mode: 'major' } };
    const made = withNewcomer({ ...band, players: [ben, cy] }, flat, 'guitar');
    const { capo } = settingOf(made.song, made.player);
    // Common practice, no source: G, C, D, A and E shapes ring best on guitar. MIDI numbers of B flat 2 and of their roots, by hand.
    const roots = { G: 43, C: 36, D: 38, A: 45, E: 40 };
    expect(Object.values(roots).map((root) => root % 12)).toContain((46 - capo) % 12);
    expect(capo).toBeLessThan(6);
  });

  it('is one page with all that has to be asked, and nothing of where nobody plays', () => {
    const { song: with1, player: newcomer } = withNewcomer(band, song, 'guitar');
    const sheets = cribSheets({
      arrangement: arrange(with1),
      band,
      player: newcomer,
      paper: 'a4',
      asOf: '',
      measure,
    });
    expect(sheets).toHaveLength(1);
    const said = itemAt(sheets, 0)
      .drawing.flatMap((one) => (one.kind === 'text' ? [one.text] : []))
      .join(' ');
    for (const wanted of ['For someone new', 'Ask who starts', 'Ask how it ends', 'Back up throughout'])
      expect(said).toContain(wanted);
  });
});
