import { itemAt } from '../../lib/base';
import { type Band, type Player, type SetList, type Song, USUAL_ENTRY, USUAL_SONG } from '../../lib/song';
import { demoBand } from '../../server/demo';

const FIRST = [
  'Lantern',
  'Gravel',
  'Orchard',
  'Ferry',
  'Winter',
  'Clover',
  'Kettle',
  'Harbour',
  'Cellar',
  'Maple',
];
const SECOND = ['Road Again', 'on the Step', 'Waltz', 'in the Rain', 'Before Nine', 'and the Dog'];

/** An evening of any length: the demo's two songs over and over, each under a title of its own, with capos that change, for six players. */
export async function eveningOf(
  count: number,
): Promise<{ band: Band; set: SetList; songs: readonly Song[] }> {
  const { band, songs } = await demoBand();
  const [guitar] = band.players;
  if (guitar === undefined) throw new Error('the demo has no players');
  const sixth: Player = {
    ...guitar,
    id: 'sixth',
    name: 'Wren D.',
    initials: 'WD',
    sings: 'none',
    range: null,
  };
  const players = [...band.players, sixth];
  const made = Array.from({ length: count }, (_, i): Song => {
    const song = itemAt(songs, i % songs.length);
    return {
      ...song,
      id: `song-${i + 1}`,
      title: `${itemAt(FIRST, i % FIRST.length)} ${itemAt(SECOND, i % SECOND.length)}`,
      tempo: song.tempo === null ? null : song.tempo + (i % 5) * 4,
      settings: song.settings.map((setting) =>
        setting.instrument === 'guitar' ? { ...setting, capo: (setting.capo + i) % 5 } : setting,
      ),
    };
  });
  const set: SetList = {
    id: 'evening',
    name: 'Grange hall supper, Saturday',
    targetSeconds: count * 240,
    pairs: [],
    entries: made.map(({ id }, i) => ({
      ...USUAL_ENTRY,
      id: `entry-${i + 1}`,
      songId: id,
      talkSeconds: i % 4 === 1 ? 30 : 0,
      note: i % 6 === 3 ? 'low lights, fiddle alone' : '',
      linkBars: i % 9 === 4 ? 2 : null,
      breakAfter: i === Math.floor(count / 2) - 1,
    })),
  };
  const listed = made.map(({ id, title }) => ({ ...USUAL_SONG, id, title }));
  return { band: { ...band, players, songs: listed, sets: [set] }, set, songs: made };
}
