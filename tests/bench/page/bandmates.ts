import { openDocument } from '../../../app/sync';
import { itemAt, makeIds, randomFrom } from '../../../lib/base';
import { SongEdits } from '../../../lib/document';
import { songDocument } from '../../../lib/protocol';
import type { Band, Song } from '../../../lib/song';
import type { Space } from '../../../lib/spaces';
import { socketsWith } from '../../sockets';

/** Somebody with the song open elsewhere, over a WebSocket of their own. */
export interface Bandmate {
  /** One edit: a space taken ad lib or left open, by turns a chord written anew. */
  edit(): void;
  /** Takes this space ad lib, or lets go of it where they have it. */
  take(space: Space): void;
  leave(): void;
}

export interface Place {
  readonly port: number;
  readonly cookie: string;
  readonly band: Band;
  readonly song: Song;
  readonly spaces: readonly Space[];
}

/** So many clients as the pages themselves have, whose edits the server stores and sends on. */
export async function bandmates(count: number, place: Place): Promise<readonly Bandmate[]> {
  return Promise.all(Array.from({ length: count }, (_, i) => bandmate(i, place)));
}

async function bandmate(number: number, { port, cookie, band, song, spaces }: Place): Promise<Bandmate> {
  const open = openDocument(songDocument(band.id, song.id), {
    origin: `ws://127.0.0.1:${port}`,
    sockets: socketsWith(cookie),
  });
  const { state } = await open.settled;
  if (state === 'not allowed') throw new Error('a bandmate was not let in');
  const random = randomFrom(100 + number);
  const player = itemAt(band.players, number % band.players.length);
  const edits = new SongEdits(open.doc, { by: player.id, now: Date.now, makeId: makeIds(random) });
  const has = new Set<string>();
  const take = (space: Space) => {
    if (has.delete(space.id)) return void edits.unsettle(space.place);
    has.add(space.id);
    edits.settle(
      space.place,
      { from: 0, to: space.endTick - space.startTick },
      { kind: 'ad lib', playerId: player.id },
    );
  };
  // Each in spaces and chords of their own, so that every edit changes something.
  const ownSpaces = spaces.filter((_, i) => i % 8 === number);
  const ownChords = song.chords.filter((_, i) => i % 8 === number);
  let made = 0;
  return {
    take,
    edit() {
      made += 1;
      const chord = ownChords[made % ownChords.length];
      if (made % 2 === 0 && chord) edits.setChord(chord.barId, chord.offset, made % 4 === 0 ? 'Am' : 'C');
      else take(itemAt(ownSpaces, Math.floor(random() * ownSpaces.length)));
    },
    leave() {
      edits.destroy();
      open.destroy();
    },
  };
}
