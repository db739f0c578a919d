import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must, type Result } from '@/lib/base';
import { newSongDocument, readSong, SongEdits } from '@/lib/document';
import { changeKey, writesOf } from '@/lib/keys';
import type { Band, Song } from '@/lib/song';
import { parseKey } from '@/lib/theory';
import { demoBand } from '@/server/demo';

const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(`${result.error.what}: ${result.error.where}`);
  return result.value;
};
const key = (name: string) => must(parseKey(name), name);

let band: Band;
let songs: readonly Song[];
beforeAll(async () => {
  const demo = await demoBand();
  band = demo.band;
  songs = demo.songs;
});

function open(song: Song) {
  const doc = newSongDocument(song);
  let count = 0;
  const makeId = () => {
    count += 1;
    return `n${count}`;
  };
  return {
    doc,
    edits: new SongEdits(doc, { by: null, now: () => 0, makeId }),
    song: () => readSong(doc).song,
  };
}

describe('a song moved to another key in one step', () => {
  it('has the key, the capos, and the fills that they carry, and is as before once it is taken back', () => {
    for (const before of songs) {
      for (const name of ['B', 'Bb', 'D']) {
        const { doc, edits, song } = open(before);
        const change = value(changeKey(song(), band.players, key(name)));
        let updates = 0;
        doc.on('update', () => {
          updates += 1;
        });
        value(edits.moveToKey(writesOf(change)));
        expect(updates).toBe(1);
        const after = song();
        expect(after.key).toEqual(key(name));
        for (const player of change.players) {
          const setting = after.settings.find(({ playerId }) => playerId === player.playerId);
          if (setting) expect(setting).toEqual(player.after);
          else expect(player.after).toEqual(player.before);
        }
        const written = new Map(
          [...after.settled, ...after.proposals].map((each) => [each.id, each.holding]),
        );
        const symbols = new Set(after.chords.map(({ symbol }) => symbol));
        for (const { answerId, fill } of change.fills) {
          const holding = written.get(answerId);
          if (holding?.kind !== 'fill' || fill === null) continue;
          expect(holding.fill).toEqual(fill);
          // It was made over the chords that the song now has, so no page says that it is of another key.
          for (const { symbol } of holding.fill.chords) expect(symbols).toContain(symbol);
        }
        edits.undo();
        expect(song()).toEqual(readSong(newSongDocument(before)).song);
      }
    }
  });

  it('refuses what is not sound, and passes over answers that are gone', () => {
    const { edits, song } = open(itemAt(songs, 0));
    expect(edits.moveToKey({ semitones: 40, settings: [], fills: [] }).ok).toBe(false);
    const setting = { ...itemAt(song().settings, 0), capo: 99 };
    expect(edits.moveToKey({ semitones: 2, settings: [setting], fills: [] }).ok).toBe(false);
    expect(song()).toEqual(open(itemAt(songs, 0)).song());
    const fill = { family: '', notes: [], chords: [] };
    expect(edits.moveToKey({ semitones: 2, settings: [], fills: [{ answerId: 'gone', fill }] }).ok).toBe(
      true,
    );
  });
});
