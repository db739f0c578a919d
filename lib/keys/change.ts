import { fail, itemAt, ok, type Result } from '../base';
import { openStrings, plainSetup, type Setup } from '../instruments';
import type { Answer, Fill, Player, PlayerSetting, Song } from '../song';
import { type Key, keyName, pitchClassOf, pitchName, scaleOf, transposeChord } from '../theory';
import { setupsForKey } from './setups';
import { tuneExtent } from './singer';
import type { Extent, FillInKey, KeyChange, PlayerInKey } from './types';

/** How many other ways are told for each player. */
const OTHERS = 4;

export interface KeyChangeOptions {
  /** The guest singer's range: the octave is chosen for it, and what lies outside is told. Left out: the nearest way is taken. */
  readonly range?: Extent;
  /** How low and high the song goes where no tune is written. */
  readonly tune?: Extent;
}

/**
 * 'In B tonight': a whole song to another key as one edit. For each player who is set up for it, the cheapest setup of `setupsForKey`, and the next
 * ones; each fill that the capo carries along keeps its frets and strings, the others have to be solved anew and are listed.
 *
 * Model: setups are chosen player by player, since none depends on another's. Exact for that. Sung notes move by the way nearest to where
 * they are, or, with a range, by the one that leaves least outside it.
 *
 * Errors: another mode than the song's, a song moved out of all hearing, a setup that cannot be.
 */
export function changeKey(
  song: Song,
  players: readonly Player[],
  to: Key,
  options: KeyChangeOptions = {},
): Result<KeyChange> {
  if (to.mode !== song.key.mode) {
    return fail(
      `the song is in ${keyName(song.key)}, and ${keyName(to)} is another mode`,
      'the key',
      `choose a tonic for a song in ${song.key.mode}`,
    );
  }
  const up = pitchClassOf(itemAt(scaleOf(to), 0) - itemAt(scaleOf(song.key), 0));
  const tune = options.tune ?? tuneExtent(song);
  const semitones = wayOf(up, tune, options.range ?? null);
  const outside = song.notes.find(
    ({ midi }) => midi !== null && (midi + semitones < 0 || midi + semitones > 127),
  );
  if (outside) return fail('a sung note would be out of all hearing', keyName(to), 'choose a nearer key');
  const changed: PlayerInKey[] = [];
  for (const player of players) {
    const before = settingOf(song, player);
    if (before === null) continue;
    const ways = setupsForKey(to, { setup: setupOf(before), key: song.key });
    if (!ways.ok) return fail(ways.error.what, `${player.name}, ${ways.error.where}`, ways.error.mend);
    const [best, ...others] = ways.value;
    if (!best) continue;
    const { setup, shapes, cost, reasons } = best;
    const after = { ...before, ...setup };
    const { instrument } = setup;
    changed.push({
      playerId: player.id,
      instrument,
      before,
      after,
      shapes,
      cost,
      reasons,
      others: others.slice(0, OTHERS),
    });
  }
  const fills = [...song.settled, ...song.proposals].flatMap((answer) =>
    fillInKey(answer, changed, semitones, to),
  );
  return ok({
    songId: song.id,
    from: song.key,
    to,
    semitones,
    players: changed,
    fills,
    cautions: cautionsOf(tune, options.range ?? null, semitones, fills),
  });
}

/** What has to be written for a change of key: settings that change, and the fills that are carried along. */
export function writesOf({ semitones, players, fills }: KeyChange) {
  return {
    semitones,
    settings: players.filter(({ before, after }) => !sameSetting(before, after)).map(({ after }) => after),
    fills: fills.flatMap(({ answerId, fill }) => (fill ? [{ answerId, fill }] : [])),
  };
}

function sameSetting(a: PlayerSetting, b: PlayerSetting): boolean {
  return (
    a.instrument === b.instrument && a.tuning === b.tuning && a.capo === b.capo && a.fifthCapo === b.fifthCapo
  );
}

/** The nearest way; with a range, the octave that leaves least of the tune outside it. */
function wayOf(up: number, tune: Extent | null, range: Extent | null): number {
  const ways = [up, up - 12].sort((a, b) => Math.abs(a) - Math.abs(b));
  if (tune === null || range === null) return itemAt(ways, 0);
  return ways.reduce((best, each) =>
    outsideOf(tune, range, each) < outsideOf(tune, range, best) ? each : best,
  );
}

function outsideOf(tune: Extent, range: Extent, semitones: number): number {
  return (
    Math.max(0, tune.highest + semitones - range.highest) +
    Math.max(0, range.lowest - tune.lowest - semitones)
  );
}

function settingOf(song: Song, player: Player): PlayerSetting | null {
  const said = song.settings.find(({ playerId }) => playerId === player.id);
  if (said) return said;
  const main = player.instruments.find((instrument) => instrument !== 'voice');
  return main ? { playerId: player.id, ...plainSetup(main), rule: null } : null;
}

const setupOf = ({ instrument, tuning, capo, fifthCapo }: PlayerSetting): Setup => ({
  instrument,
  tuning,
  capo,
  fifthCapo,
});

/** A fill keeps its shape where every string that it uses goes up as the song does, give or take octaves. */
function fillInKey(
  { id, holding }: Answer,
  players: readonly PlayerInKey[],
  semitones: number,
  to: Key,
): FillInKey[] {
  if (holding.kind !== 'fill') return [];
  const { playerId, fill } = holding;
  const player = players.find((each) => each.playerId === playerId);
  const anew = (reason: string): FillInKey[] => [{ answerId: id, playerId, fill: null, reason }];
  if (!player) return anew('its player is not in the band');
  const [before, after] = [openStrings(setupOf(player.before)), openStrings(setupOf(player.after))];
  if (!before.ok || !after.ok) return anew('its player is set up in no known way');
  const notes = [];
  for (const note of fill.notes) {
    const [old, fresh] = [before.value[note.string - 1], after.value[note.string - 1]];
    if (!old || !fresh) return anew('it uses a string that the instrument does not have');
    if (note.midi !== old.midi + note.fret) return anew('it was made for another setup');
    const by = fresh.midi - old.midi;
    if (pitchClassOf(by - semitones) !== 0) return anew(`string ${note.string} does not go with the key`);
    if (note.fret > fresh.highestFret) return anew(`fret ${note.fret} is out of reach above the capo`);
    notes.push({ ...note, midi: note.midi + by });
  }
  const chords = fill.chords.map(({ tick, symbol }) => ({
    tick,
    symbol: transposeChord(symbol, semitones, to),
  }));
  const moved: Fill = { ...fill, notes, chords };
  return [{ answerId: id, playerId, fill: moved, reason: 'the capo carries it along' }];
}

function cautionsOf(
  tune: Extent | null,
  range: Extent | null,
  semitones: number,
  fills: readonly FillInKey[],
): string[] {
  const cautions: string[] = [];
  if (tune && range) {
    if (tune.highest + semitones > range.highest)
      cautions.push(`the tune goes up to ${pitchName(tune.highest + semitones)}, above the singer's range`);
    if (tune.lowest + semitones < range.lowest)
      cautions.push(`the tune goes down to ${pitchName(tune.lowest + semitones)}, below the singer's range`);
  }
  const anew = fills.filter(({ fill }) => fill === null).length;
  if (anew > 0) cautions.push(`${anew} ${anew === 1 ? 'fill has' : 'fills have'} to be solved anew`);
  return cautions;
}
