import { describe, expect, it } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { fillOf, judgeFill, type OfferRequest, offerFills } from '../../../lib/fills';
import { plainSetup } from '../../../lib/instruments';
import { arrange, ledIn } from '../../../lib/parts';
import type { Answer, Song } from '../../../lib/song';
import { songOf } from '../fills/songs';

const BAR = 3840;
const BEAT = 960;

/** Four bars sung, the last two beats silent, then the same with nobody singing. */
function sungThenPlayed(): Song {
  const song = songOf({
    chords: ['G', 'C', 'D', 'G'],
    sung: [
      [0, 1, 1, 67],
      [0, 2, 1, 71],
      [0, 3, 2, 74],
      [1, 1, 2, 76],
      [1, 3, 2, 72],
      [2, 1, 2, 69],
      [2, 3, 2, 66],
      [3, 1, 2, 67],
    ],
  });
  const pass = { sectionId: itemAt(song.sections, 0).id, ending: 1, name: '', roles: {} };
  return {
    ...song,
    passes: [
      { ...pass, id: 'sung', stanza: 1 },
      { ...pass, id: 'played', stanza: null },
    ],
  };
}

function breakOf(song: Song, instrument: 'banjo' | 'fiddle'): { request: OfferRequest; settled: Answer } {
  const { timeline, spaces } = arrange(song);
  const space = must(
    spaces.find(({ place }) => place.passId === 'played' && place.noteId === null),
    'the break',
  );
  const request: OfferRequest = {
    timeline,
    space,
    setup: plainSetup(instrument),
    rule: 'toward',
    spanMillimetres: null,
    comfortEighthsPerMinute: null,
    count: 1,
  };
  const offers = offerFills(request);
  if (!offers.ok) throw new Error(offers.error.what);
  const { fill, extent } = fillOf(itemAt(offers.value, 0), space);
  const settled: Answer = {
    id: 'a',
    place: space.place,
    extent,
    holding: { kind: 'fill', playerId: 'ann', fill },
    by: 'ann',
    at: 0,
  };
  return { request, settled };
}

describe('a break with its pickup', () => {
  const song = sungThenPlayed();

  it.each(['banjo', 'fiddle'] as const)('of the %s is settled with it, and stands', (instrument) => {
    const { request, settled } = breakOf(song, instrument);
    const { standings } = arrange({ ...song, settled: [settled] });
    const { notes, misfit } = itemAt(standings, 0);
    expect(misfit).toBeNull();
    // A lead-in of three eighths into the downbeat at bar 5. Common practice, no source.
    const before = notes.filter(({ tick }) => tick < 4 * BAR);
    expect(before.map(({ tick }) => (tick - 4 * BAR) / BEAT)).toEqual([-1.5, -1, -0.5]);
    const judged = judgeFill(request, { family: '', notes });
    expect(judged.ok && judged.value.marks.map(({ reason }) => reason.rule)).not.toContain(
      'outside the space',
    );
  });

  it('is drawn before the first barline of its pass, for its player, without a word of the singer’s', () => {
    const { settled } = breakOf(song, 'banjo');
    const arrangement = arrange({ ...song, settled: [settled] });
    const pass = itemAt(arrangement.passes, 1);
    const line = itemAt(ledIn(arrangement, pass, 'ann'), 0);
    const [hung, first] = line.segments;
    expect(hung).toMatchObject({
      startTick: 4 * BAR - 2 * BEAT,
      endTick: 4 * BAR,
      startsBar: false,
      syllables: [],
    });
    expect(hung?.beats.map((tick) => (tick - 4 * BAR) / BEAT)).toEqual([-2, -1]);
    expect(first?.startTick).toBe(4 * BAR);
    expect(line.pickupTicks).toBe(2 * BEAT);
    expect(ledIn(arrangement, pass, null)).toEqual(ledIn(arrangement, pass, 'ann'));
    // What others read, and the pass that is sung, stay as they are.
    expect(ledIn(arrangement, pass, 'ben')).toBe(pass.lines);
    const sung = itemAt(arrangement.passes, 0);
    expect(ledIn(arrangement, sung, null)).toBe(sung.lines);
  });

  it('leaves it out where somebody has a fill in the bar before', () => {
    const { spaces } = arrange(song);
    const space = must(
      spaces.find(({ place }) => place.passId === 'sung' && place.noteId !== null),
      'the space at the end of the verse',
    );
    const { extent } = fillOf({ family: '', notes: [] }, space);
    const theirs: Answer = {
      id: 'b',
      place: space.place,
      extent,
      holding: { kind: 'ad lib', playerId: 'ben' },
      by: 'ben',
      at: 0,
    };
    const { request, settled } = breakOf({ ...song, settled: [theirs] }, 'banjo');
    expect(settled.holding.kind === 'fill' && itemAt(settled.holding.fill.notes, 0).tick).toBe(0);
    const offers = offerFills(request);
    const said = offers.ok ? itemAt(offers.value, 0).reasons.filter(({ rule }) => rule === 'pickup') : [];
    expect(said.map(({ detail }) => detail)).toEqual([
      'without its pickup: somebody has a fill in the bar before',
    ]);
  });
});
