import { describe, expect, it } from 'vitest';
import { itemAt } from '../../lib/base';
import { readAbc } from '../../lib/exchange';
import { type Song, writtenTimeline } from '../../lib/song';
import { findSpaces } from '../../lib/spaces';

async function read(abc: string): Promise<Song> {
  let count = 0;
  const song = await readAbc(abc, { makeId: () => `i${count++}`, title: 'none' });
  if (!song.ok) throw new Error(song.error.what);
  return song.value.song;
}

/** Eight eighths to a bar of 4/4; the voice lets go as beat 2 of bar 2 begins and comes in on beat 3 of bar 3. */
const WORKED_CASE = `X:1
T:Worked
M:4/4
L:1/8
Q:1/4=108
K:G
G2 G2 A2 B2 | d2 z6 | z4 B2 B2 | A2 A2 G4 |]
w: One two three four five, six sev- en eight nine ten.
`;

describe('the worked case of a space', () => {
  // Common practice, no source: counted on the fingers. Five beats, across the barline; ten eighths; a roll of eight or
  // nine of them leaves the singer room.
  it('is five beats, from beat 2 over the barline to beat 3, with room for eight or nine eighths', async () => {
    const space = itemAt(findSpaces(writtenTimeline(await read(WORKED_CASE))), 0);
    expect(space).toMatchObject({ kind: 'between', bar: 2, beat: 2, beats: 5, tailTicks: 0 });
    expect(space.startTick).toBe(5 * 960);
    expect(space.endTick).toBe(10 * 960);
    expect((space.endTick - space.startTick) / 480).toBe(10);
    expect([8, 9]).toContain((space.endTick - space.guardTicks - space.startTick) / 480);
  });

  // Common practice, no source: five quarters at 60 a minute are five seconds, at 120 two and a half.
  it.each([
    [60, 5],
    [120, 2.5],
  ])('lasts, at %d quarters a minute, %d seconds', async (tempo, seconds) => {
    const song = await read(WORKED_CASE.replace('Q:1/4=108', `Q:1/4=${tempo}`));
    expect(itemAt(findSpaces(writtenTimeline(song)), 0).seconds).toBeCloseTo(seconds, 9);
  });

  // Common practice, no source: a second voice that sings on takes from the space what it holds.
  it('begins where the last voice lets go', async () => {
    const abc = `X:1
T:Two
M:4/4
L:1/4
Q:1/4=100
V:1 name=Lead
V:2 name=Tenor
K:G
V:1
G G A B | d z3 | z2 B B | A A G2 |]
V:2
B B c d | d2 z2 | z2 d d | c c B2 |]
`;
    const space = itemAt(findSpaces(writtenTimeline(await read(abc))), 0);
    expect(space).toMatchObject({ bar: 2, beat: 3, beats: 4, kind: 'between' });
  });
});
