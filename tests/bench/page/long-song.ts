import { itemAt, makeIds, randomFrom } from '../../../lib/base';
import { readAbc } from '../../../lib/exchange';
import { fillOf, offerFills } from '../../../lib/fills';
import { type Answer, type Player, roadmapTimeline, type Song, settingOf } from '../../../lib/song';
import { findSpaces } from '../../../lib/spaces';
import { benchSong } from '../songs';

/** Every so manyth space holds a fill. */
const SETTLED_EACH = 4;

/** Lines of text before a bench song's first music. */
const HEADER = 6;
/** Lines of text that hold two sung lines: their music and their words. */
const TEXT_OF_TWO = 2;

/**
 * A song of at least so many lines, a part of its spaces settled with fills.
 *
 * @param perPass sung lines to a pass, an even number; null: all of them in one
 */
export async function longSong(
  lines: number,
  perPass: number | null,
  players: readonly Player[],
): Promise<Song> {
  const makeId = makeIds(randomFrom(perPass ?? 7));
  const text = benchSong(lines * 2).split('\n');
  const parts = text.flatMap((line, i) => {
    const sung = ((i - HEADER) / TEXT_OF_TWO) * 2;
    return perPass !== null && sung >= 0 && sung % perPass === 0 && line !== ''
      ? [`P:${sung / perPass + 1}`, line]
      : [line];
  });
  const title = perPass === null ? 'A long song in one' : 'A long song';
  const read = await readAbc(parts.join('\n'), { makeId, title });
  if (!read.ok) throw new Error(read.error.what);
  const { song } = read.value;
  const timeline = roadmapTimeline(song);
  const player = itemAt(players, 0);
  const settled: Answer[] = [];
  findSpaces(timeline).forEach((space, i) => {
    if (i % SETTLED_EACH !== 0) return;
    const offers = offerFills({
      timeline,
      space,
      setup: settingOf(song, player),
      rule: player.rule,
      spanMillimetres: player.spanMillimetres,
      comfortEighthsPerMinute: player.comfortEighthsPerMinute,
      count: 1,
    });
    const offer = offers.ok ? offers.value[0] : undefined;
    if (!offer) return;
    const { fill, extent } = fillOf(offer, space);
    settled.push({
      id: makeId(),
      place: space.place,
      extent,
      holding: { kind: 'fill', playerId: player.id, fill },
      by: player.id,
      at: i,
    });
  });
  return { ...song, settled };
}
