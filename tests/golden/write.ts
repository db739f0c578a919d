/** Writes a stored document of the current version for each kind where there is none; see README.md. */
import { existsSync, writeFileSync } from 'node:fs';
import * as Y from 'yjs';
import { BAND_VERSION, newBandDocument, newSongDocument, SONG_VERSION } from '../../lib/document';
import { BAND, bandEdits, bar, SONG, songEdits } from '../unit/document/sample';

function keep(name: string, doc: Y.Doc): void {
  const file = new URL(name, import.meta.url);
  if (existsSync(file)) console.log(`${name} is there and stays as it is`);
  else writeFileSync(file, Y.encodeStateAsUpdate(doc));
}

/** Two people's replicas, so that the file holds edits of more than one client, and deletions. */
function people(first: Y.Doc): readonly [Y.Doc, Y.Doc] {
  const docs = [new Y.Doc(), new Y.Doc()] as const;
  docs.forEach((doc, i) => {
    doc.clientID = 100 + i;
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(first));
  });
  return docs;
}

const place = { passId: 'pass-1', noteId: 'n4', voiceId: 'lead' };
const [ann, bo] = people(newSongDocument(SONG, 1));
const one = songEdits(ann, 1);
const two = songEdits(bo, 2);
const { id: _id, ...fields } = bar('', { ticks: 1920 });
one.insertBar('verse', 'v1', fields);
one.removeBar('v0');
one.setTitle('The Mill Above');
one.movePass('pass-2', 0);
one.setSyllable('n2', 2, null);
one.settle(place, { from: 960, to: 2880 }, { kind: 'left open' });
two.removeNote('n2t');
two.setBar('v3', { key: null, ticks: 1440 });
two.setRole('pass-1', 'ann', null);
two.setSetting('cy', { instrument: 'fiddle' });
two.setTempo(60);
two.undo();
two.comment(null, 'One more');
two.vote('p1', true);
two.settle(place, { from: 960, to: 2880 }, { kind: 'ad lib', playerId: 'bo' });
// What comes from here on is read as it was written; all the rest is moved.
one.transpose(2);
one.setChord('c1', 1920, 'F#m');
one.setBar('c1', { key: { tonic: 'A', mode: 'major' } });
two.setNote('n4', { midi: 70 });
one.setVoice('tenor', { range: { low: 60, high: 72 } });
one.endPhrase('n2', null);
two.movePhraseEnd('n3', 'n4', 2);
one.setSinging({ passId: 'pass-2', voiceId: 'tenor', noteId: null, playerId: 'cy' });
one.setEnding({ kind: 'tag line' });
two.setStart({ with: '', counts: null });
one.keep('As on Friday');
Y.applyUpdate(ann, Y.encodeStateAsUpdate(bo));
keep(`song-v${SONG_VERSION}.bin`, ann);

const [left, right] = people(newBandDocument(BAND, 1));
const mine = bandEdits(left, 1);
const theirs = bandEdits(right, 2);
mine.moveInSet('e3', 0);
mine.removeSong('late');
mine.setPlayer('bo', { spanMillimetres: null, ink: 5 });
theirs.addSong({ id: 'dew', title: 'Dew on Brass' });
theirs.addToSet('short', 'late');
theirs.removeFromSet('e2');
theirs.rename('Weir Street');
theirs.setSong('hay', { energy: 2 });
theirs.setEntry('e3', { talkSeconds: 15, breakAfter: true });
theirs.renameFigure('f1', 'Weir walk');
mine.setSettings({ openShare: 0.25, microphonePlaces: ['ann', 'bo'] });
theirs.setSettings({ microphoneInSeconds: 0.5 });
mine.setPair('friday', ['mill', 'hay'], 'apart');
mine.addRemark({ songId: 'hay', text: 'cut the second break', solid: true });
Y.applyUpdate(left, Y.encodeStateAsUpdate(right));
keep(`band-v${BAND_VERSION}.bin`, left);
