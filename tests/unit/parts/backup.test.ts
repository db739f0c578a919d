import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must } from '@/lib/base';
import { type Arrangement, arrange, backupBars, backupInPass, notesRows } from '@/lib/parts';
import type { Band } from '@/lib/song';
import { demoBand } from '@/server/demo';

let band: Band;
let waltz: Arrangement;
beforeAll(async () => {
  const demo = await demoBand();
  band = demo.band;
  waltz = arrange(itemAt(demo.songs, 0));
});

const playing = (instrument: string) =>
  must(
    band.players.find(({ instruments }) => instruments[0] === instrument),
    instrument,
  );
const pass = (name: string) =>
  must(
    waltz.song.passes.find((one) => one.name === name),
    name,
  ).id;
const backup = (instrument: string, name: string) =>
  backupInPass(waltz, band, playing(instrument), pass(name));
const made = (instrument: string, name: string) => {
  const answer = must(backup(instrument, name), 'a backup');
  if (!answer.ok) throw new Error(answer.error.what);
  return answer.value;
};

describe("a player's backup in a pass", () => {
  it('lies within the pass, and makes way for every fill of the player', () => {
    let fills = 0;
    for (const { name } of waltz.song.passes)
      for (const instrument of ['guitar', 'banjo', 'mandolin', 'fiddle', 'bass']) {
        const answer = backup(instrument, name);
        if (answer === null || !answer.ok) continue;
        const { notes, startTick, endTick, away } = answer.value;
        for (const note of notes) {
          expect(note.tick).toBeGreaterThanOrEqual(startTick);
          expect(note.tick + note.ticks).toBeLessThanOrEqual(endTick);
          for (const gone of away)
            expect(note.tick >= gone.endTick || note.tick + note.ticks <= gone.startTick).toBe(true);
        }
        fills += away.length;
      }
    // The demo's guitar, banjo and fiddle have one fill or more each in this song.
    expect(fills).toBeGreaterThanOrEqual(3);
  });

  it('is none for who has the break, lays out, or has no instrument', () => {
    expect(backup('mandolin', 'Break, mandolin')).toBeNull();
    expect(backup('banjo', 'Verse 1')).toBeNull();
    const singer = { ...playing('bass'), id: 'singer', instruments: ['voice' as const] };
    expect(backupInPass(waltz, band, singer, pass('Verse 1'))).toBeNull();
  });

  it('of a pass that is not there is an error with a mend', () => {
    const answer = must(backupInPass(waltz, band, playing('guitar'), 'nowhere'), 'an answer');
    expect(answer.ok ? null : answer.error.mend).toBe('open the song again');
  });

  // Common practice, no source: where the mandolin has the break, the next in the band's order keeps the off-beats.
  it('says who keeps the chop while the chopper is away', () => {
    const chorus = made('mandolin', 'Chorus 1');
    expect(chorus.chopBy).toEqual([]);
    const settled = waltz.song.settled.map((answer) =>
      answer.holding.kind === 'fill' && answer.place.passId === pass('Chorus 1')
        ? { ...answer, holding: { ...answer.holding, playerId: playing('mandolin').id } }
        : answer,
    );
    const other = arrange({ ...waltz.song, settled });
    const gone = must(backupInPass(other, band, playing('mandolin'), pass('Chorus 1')), 'a backup');
    const keeper = must(backupInPass(other, band, playing('banjo'), pass('Chorus 1')), 'a backup');
    expect(gone.ok && gone.value.chopBy.map(({ playerId }) => playerId)).toEqual([playing('banjo').id]);
    expect(keeper.ok && keeper.value.keepsChop).toHaveLength(1);
  });
});

describe('the bars that stand for a backup', () => {
  it('are one for each chord, whole, on that chord alone, and played', () => {
    const verse = made('guitar', 'Verse 1');
    const bars = backupBars(waltz, [verse]);
    expect(bars.length).toBeGreaterThan(3);
    expect(new Set(bars.map(({ symbol }) => symbol)).size).toBe(bars.length);
    for (const { startTick, endTick, symbol } of bars) {
      expect(waltz.timeline.chordsIn(startTick, endTick).map((chord) => chord.symbol)).toEqual([symbol]);
      expect(verse.notes.some(({ tick }) => tick >= startTick && tick < endTick)).toBe(true);
    }
  });
});

it('shows bars of the chords that were worked out, where none are written', () => {
  const bare = arrange({ ...waltz.song, chords: [] });
  const answer = must(backupInPass(bare, band, playing('guitar'), pass('Verse 1')), 'a backup');
  if (!answer.ok) throw new Error(answer.error.what);
  const symbols = backupBars(bare, [answer.value]).map(({ symbol }) => symbol);
  expect(symbols.length).toBeGreaterThan(0);
  const worked = answer.value.chordsWorkedOut?.map(({ symbol }) => symbol);
  for (const symbol of symbols) expect(worked).toContain(symbol);
});

describe('rows of bars', () => {
  it('hold every bar once, whole, and go over no edge', () => {
    const { notes, startTick, endTick } = made('guitar', 'Verse 1');
    const bars = waltz.timeline.bars.filter((bar) => bar.startTick >= startTick && bar.endTick <= endTick);
    for (const width of [300, 690, 1200]) {
      const rows = notesRows(waltz.timeline, notes, bars, {
        instrument: 'guitar',
        key: waltz.song.key,
        width,
        chordName: (symbol) => symbol,
      });
      expect(itemAt(rows, 0).startTick).toBe(startTick);
      rows.forEach((row, i) => {
        expect(row.width).toBeLessThanOrEqual(width + 0.01);
        expect(row.endTick).toBe(rows[i + 1]?.startTick ?? endTick);
        expect(bars.some((bar) => bar.endTick === row.endTick)).toBe(true);
      });
    }
  });
});
