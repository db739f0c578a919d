import { describe, expect, it } from 'vitest';
import { must, type Result } from '@/lib/base';
import { newBandDocument, readBand } from '@/lib/document';
import { USUAL_ENTRY } from '@/lib/song';
import { BAND, bandEdits } from './sample';

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.error.what);
  return result.value;
}

describe('edits of a band', () => {
  function openBand() {
    const doc = newBandDocument(BAND);
    const edits = bandEdits(doc);
    return { doc, edits, band: () => readBand(doc).band };
  }

  it('change its name and players', () => {
    const { edits, band } = openBand();
    value(edits.rename(' Weir Street '));
    const { id: _id, ...fields } = must(BAND.players[0], 'player');
    const id = value(edits.addPlayer({ ...fields, name: 'Cy', initials: 'C', ink: 2 }));
    value(edits.setPlayer('bo', { spanMillimetres: null, comfortEighthsPerMinute: 300, name: 'Bobbie' }));
    value(edits.movePlayer(id, 0));
    expect(band()).toEqual({
      ...BAND,
      name: 'Weir Street',
      players: [
        { ...fields, id, name: 'Cy', initials: 'C', ink: 2 },
        BAND.players[0],
        { ...BAND.players[1], spanMillimetres: null, comfortEighthsPerMinute: 300, name: 'Bobbie' },
      ],
    });
    value(edits.removePlayer('ann'));
    expect(band().players.map((player) => player.id)).toEqual([id, 'bo']);
    expect(edits.setPlayer('ann', { name: 'No' }).ok).toBe(false);
    expect(edits.setPlayer('bo', { name: '' }).ok).toBe(false);
    expect(edits.rename('  ').ok).toBe(false);
  });

  it('change songs and sets; a removed song is not shown in sets, and back again with undo or by adding it', () => {
    const { edits, band } = openBand();
    const titles = () => band().songs.map((song) => song.title);
    const friday = () => band().sets[0]?.entries.map((entry) => entry.id);
    value(edits.addSong({ id: 'dew', title: 'Dew' }));
    expect(edits.addSong({ id: 'dew', title: 'Dew' }).ok).toBe(false);
    value(edits.moveSong('dew', 1));
    value(edits.renameSong('mill', 'Mill'));
    expect(titles()).toEqual(['Mill', 'Dew', 'Hay Before Rain', 'Late Ferry']);
    value(edits.removeSong('hay'));
    expect(friday()).toEqual(['e2']);
    edits.undo();
    expect(friday()).toEqual(['e1', 'e2', 'e3']);
    edits.redo();
    value(edits.addSong({ id: 'hay', title: 'Hay' }));
    expect(friday()).toEqual(['e1', 'e2', 'e3']);
    expect(titles()).toEqual(['Mill', 'Dew', 'Hay', 'Late Ferry']);

    const id = value(edits.addToSet('friday', 'dew', 1));
    value(edits.moveInSet('e3', 0));
    expect(friday()).toEqual(['e3', 'e1', id, 'e2']);
    value(edits.setEntryNote('e1', ''));
    value(edits.removeFromSet('e2'));
    value(edits.renameSet('short', 'Shorter'));
    value(edits.setTarget('short', 600));
    const late = value(edits.addSet('Late', 1200));
    value(edits.moveSet(late, 0));
    value(edits.removeSet('friday'));
    expect(band().sets).toEqual([
      { id: late, name: 'Late', targetSeconds: 1200, entries: [], pairs: [] },
      { id: 'short', name: 'Shorter', targetSeconds: 600, entries: [], pairs: [] },
    ]);
    edits.undo();
    expect(band().sets[1]?.entries).toEqual([
      { ...USUAL_ENTRY, id: 'e3', songId: 'hay' },
      {
        ...USUAL_ENTRY,
        id: 'e1',
        songId: 'hay',
        talkSeconds: 30,
        hold: 'first',
        linkBars: 2,
        breakAfter: true,
      },
      { ...USUAL_ENTRY, id, songId: 'dew' },
    ]);
    expect(edits.addToSet('friday', 'gone').ok).toBe(false);
    expect(edits.addToSet('gone', 'mill').ok).toBe(false);
    expect(edits.setTarget('short', -1).ok).toBe(false);
  });
});
