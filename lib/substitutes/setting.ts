import { fail, ok, type Result } from '../base';
import { type InstrumentName, plainSetup } from '../instruments';
import { setupsForKey } from '../keys';
import { type Player, type PlayerSetting, type Song, settingOf } from '../song';

/**
 * How a substitute plays a song. On the instrument of whoever is away they take over the tuning and the capo, so that what was worked out
 * keeps its notes; unless they have fills of their own in the song, which are worth as much. On another instrument: as they are set up for the song
 * already, else the best way for its key (`setupsForKey`).
 *
 * @param asked the instrument; left out: the one of whoever is away, if the substitute plays it, else their own
 *
 * Errors: an instrument that they do not play.
 */
export function settingFor(
  song: Song,
  from: Player,
  to: Player,
  asked?: InstrumentName,
): Result<PlayerSetting> {
  const was = settingOf(song, from);
  const own = song.settings.find(({ playerId }) => playerId === to.id) ?? null;
  const hasFills =
    own !== null && [...song.settled, ...song.proposals].some((each) => holdsFill(each, to.id));
  const shared = to.instruments.includes(was.instrument) && !hasFills ? was.instrument : null;
  const instrument = asked ?? shared ?? settingOf(song, to).instrument;
  if (asked !== undefined && !to.instruments.includes(asked)) {
    return fail(
      `${to.name} does not play the ${asked}`,
      song.title,
      `choose one of theirs: ${to.instruments.join(', ') || 'none is named'}`,
    );
  }
  if (own?.instrument === instrument && hasFills) return ok(own);
  if (was.instrument === instrument) return ok({ ...was, playerId: to.id, rule: own?.rule ?? null });
  if (own?.instrument === instrument) return ok(own);
  const plain = { playerId: to.id, ...plainSetup(instrument), rule: own?.rule ?? null };
  const ways = setupsForKey(song.key, { setup: plainSetup(instrument), key: song.key });
  return ways.ok ? ok({ ...plain, ...ways.value[0]?.setup }) : ways;
}

const holdsFill = ({ holding }: Song['settled'][number], playerId: string): boolean =>
  holding.kind === 'fill' && holding.playerId === playerId;
