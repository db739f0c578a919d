import { describe, expect, it } from 'vitest';
import type { Result } from '@/lib/base';
import { newBandDocument, readBand } from '@/lib/document';
import { BAND, bandEdits } from './sample';

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.error.what}: ${result.error.mend}`);
  return result.value;
}

function open() {
  const doc = newBandDocument(BAND);
  return { edits: bandEdits(doc), band: () => readBand(doc).band };
}

describe('what a band says beside its songs', () => {
  it('settings one by one', () => {
    const { edits, band } = open();
    value(edits.setSettings({ votes: false }));
    value(edits.setSettings({ leaderId: null, openShare: 0 }));
    const { leaderId, oneMicrophone, votes, openShare } = band();
    expect([leaderId, oneMicrophone, votes, openShare]).toEqual([null, true, false, 0]);
    expect(edits.setSettings({ openShare: 1.5 }).ok).toBe(false);
    edits.undo();
    edits.undo();
    expect(band()).toEqual(BAND);
  });

  it('figures of a player’s own', () => {
    const { edits, band } = open();
    const [figure] = BAND.figures;
    if (!figure) throw new Error('no figure');
    const { id: _id, ...fields } = figure;
    const id = value(edits.addFigure({ ...fields, name: 'Back step', chord: 'D7' }));
    expect(band().figures.map(({ name }) => name)).toEqual(['Back step', 'Weir roll']);
    expect(band().figures[0]).toEqual({ ...fields, id, name: 'Back step', chord: 'D7' });
    value(edits.renameFigure(id, 'Yard step'));
    expect(band().figures.map(({ name }) => name)).toEqual(['Weir roll', 'Yard step']);
    value(edits.removeFigure('f1'));
    expect(band().figures.map(({ name }) => name)).toEqual(['Yard step']);
    edits.undo();
    expect(band().figures).toHaveLength(2);
    expect(edits.addFigure({ ...fields, notes: [] }).ok).toBe(false);
    expect(edits.addFigure({ ...fields, playerId: 'nobody' }).ok).toBe(false);
    expect(edits.renameFigure(id, ' ').ok).toBe(false);
  });

  it('what holds between songs of a set', () => {
    const { edits, band } = open();
    const friday = () => band().sets[0];
    value(edits.setEntry('e1', { hold: null, breakAfter: false }));
    expect(friday()?.entries[0]).toEqual({
      id: 'e1',
      songId: 'hay',
      note: 'say hello first',
      talkSeconds: 30,
      hold: null,
      linkBars: 2,
      breakAfter: false,
    });
    value(edits.setPair('friday', ['mill', 'late'], 'apart'));
    expect(friday()?.pairs).toEqual([
      { songs: ['hay', 'mill'], wanted: 'near' },
      { songs: ['late', 'mill'], wanted: 'apart' },
    ]);
    value(edits.setPair('friday', ['mill', 'hay'], null));
    value(edits.removeSong('late'));
    expect(friday()?.pairs).toEqual([]);
    expect(edits.setPair('friday', ['hay', 'hay'], 'near').ok).toBe(false);
    expect(edits.setEntry('e1', { hold: 0 }).ok).toBe(false);
  });

  it('what a song asks, whether it is put away, and how it went', () => {
    const { edits, band } = open();
    value(edits.setSong('mill', { archived: true }));
    expect(band().songs[0]).toEqual({ id: 'mill', title: 'The Mill Below', energy: 4, archived: true });
    value(edits.setSong('mill', { archived: false, energy: null }));
    expect(band().songs[0]).toEqual({ id: 'mill', title: 'The Mill Below', energy: null, archived: false });
    const id = value(edits.addRemark({ songId: 'hay', text: ' too long ', solid: true }));
    expect(band().remarks.map(({ text, solid, by }) => [text, solid, by])).toEqual([
      ['too fast', false, 'ann'],
      ['too long', true, 'player-0'],
    ]);
    value(edits.removeRemark(id));
    expect(band().remarks).toEqual(BAND.remarks);
    expect(edits.addRemark({ songId: 'gone', text: 'x', solid: true }).ok).toBe(false);
  });
});
