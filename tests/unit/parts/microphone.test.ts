import { describe, expect, it } from 'vitest';
import { itemAt } from '../../../lib/base';
import { arrange, type Instruction, PRINT_WORD_SIZE, sheetsOf, widthInEms } from '../../../lib/parts';
import { type Answer, type Band, NEW_BAND, type Player, type Song } from '../../../lib/song';
import { somebody as player } from '../players/somebody';
import { QUARTER, tinySong } from '../spaces/tiny-song';

const ANN = player('Ann', { sings: 'lead' });
const BEN = player('Ben', { instruments: ['banjo'] });
const CY = player('Cy', { instruments: ['fiddle'] });
const DI = player('Di', { instruments: ['mandolin'] });

const bandOf = (more: Partial<Band>): Band => ({
  ...{ id: 'b', name: 'Band', players: [ANN, BEN, CY, DI], songs: [], sets: [] },
  ...NEW_BAND,
  oneMicrophone: true,
  microphonePlaces: ['Ben', 'Ann', 'Cy', 'Di'],
  ...more,
});

/** A verse in 4/4 at 120: four beats sung, eight of rest in which somebody has a fill, four sung, eight of rest, four sung. */
function songOf(first: string, second: string): Song {
  const song = tinySong(
    [
      {
        name: 'Verse',
        voices: [
          {
            part: 'lead',
            notes: '1 1 1 1 z8 1 1 1 1 z8 1 1 1 1',
            words: ['and so we go, but then they stay. till all is said'],
          },
        ],
      },
    ],
    { tempo: 120, passes: [{ stanza: 1, roles: { Ann: 'lead' } }] },
  );
  const answer = (noteId: string, playerId: string): Answer => ({
    id: noteId,
    place: { passId: 'p1', noteId, voiceId: 'v1' },
    extent: { from: 3 * QUARTER, to: 7 * QUARTER },
    holding: { kind: 'ad lib', playerId },
    by: null,
    at: 1,
  });
  return { ...song, settled: [answer('s1v1n4', first), answer('s1v1n8', second)] };
}

type Text = Extract<Instruction, { kind: 'text' }>;
const textsOn = (band: Band, of: Player, density: 'whole' | 'cues'): readonly Text[] =>
  sheetsOf({
    arrangement: arrange(songOf('Ben', 'Di'), PRINT_WORD_SIZE, null),
    band,
    player: of,
    paper: 'a4',
    asOf: 'today',
    measure: (text, size) => widthInEms(text) * size,
    density,
  }).flatMap(({ drawing }) => drawing.flatMap((each) => (each.kind === 'text' ? [each] : [])));
const MOVE = /mic\b|^out|^straight out/;
const movesOn = (band: Band, of: Player, density: 'whole' | 'cues' = 'whole') =>
  textsOn(band, of, density)
    .map(({ text }) => text)
    .filter((text) => MOVE.test(text));

// Common practice, no source: who comes in passes before who goes out, and who stands on the other side is not met.
describe('moves around one microphone on a part', () => {
  it('stand on each player’s own part in words, and on nobody else’s', () => {
    const band = bandOf({});
    // Ben stands on Ann's side and meets her; Di stands on the other.
    expect(movesOn(band, ANN)).toEqual([
      'at the mic',
      'out, behind the banjo',
      'in to the mic, past the banjo',
      'out to the left',
      'in to the mic',
    ]);
    expect(movesOn(band, BEN)).toEqual(['in to the mic, past the guitar', 'out, behind the guitar']);
    expect(movesOn(band, DI)).toEqual(['in to the mic', 'out to the right']);
    expect(movesOn(band, CY)).toEqual([]);
  });

  it('stand among the cues of who has a fill', () => {
    expect(movesOn(bandOf({}), DI, 'cues')).toEqual(['in to the mic', 'out to the right']);
  });

  it('are not there where the band has more microphones', () => {
    for (const of of [ANN, BEN, DI]) expect(movesOn(bandOf({ oneMicrophone: false }), of)).toEqual([]);
  });

  it('touch no other text, however close they come', () => {
    for (const seconds of [0, 0.5, 1, 3])
      for (const of of [ANN, BEN, DI]) {
        const band = bandOf({ microphoneInSeconds: seconds, microphoneOutSeconds: seconds });
        const texts = textsOn(band, of, 'whole').filter(({ face }) => face !== 'music');
        for (const cue of texts.filter(({ text }) => MOVE.test(text)))
          for (const other of texts) if (other !== cue) expect(touch(cue, other)).toBe(false);
        expect(itemAt(texts, 0).text).not.toBe('');
      }
  });
});

/** Whether the boxes of two texts share more than an edge; a letter reaches from a fifth under its line to nine tenths over it. */
function touch(a: Text, b: Text): boolean {
  const [left, right] = [boxOf(a), boxOf(b)];
  return left.x1 < right.x2 && right.x1 < left.x2 && left.y1 < right.y2 && right.y1 < left.y2;
}

function boxOf({ x, y, text, size, anchor }: Text) {
  const width = widthInEms(text) * size;
  const x1 = anchor === 'end' ? x - width : anchor === 'middle' ? x - width / 2 : x;
  return { x1, x2: x1 + width, y1: y - 0.75 * size, y2: y + 0.2 * size };
}
