import { openStrings, type Setup } from '../instruments';
import { SET_WEIGHTS, type SetFile } from '../song';
import { parseKey } from '../theory';
import { parseMeter } from '../time';
import { ORDER_WEIGHTS, USUAL_SONG_SECONDS } from './costs';
import type { Evening, Need, SetSong } from './types';

/** The evening that a set file describes, and what had to be taken for granted, in sentences. */
export function eveningOf(file: SetFile): {
  readonly evening: Evening;
  readonly warnings: readonly string[];
} {
  const warnings: string[] = [];
  const songs = file.songs.map((song): SetSong => {
    const title = song.title ?? song.id;
    if (song.tempo === null) warnings.push(`'${title}' has no tempo: it makes no run of one tempo`);
    if (song.seconds === null) {
      warnings.push(`'${title}' has no length: ${USUAL_SONG_SECONDS} seconds are counted`);
    }
    const needs = song.needs.map((need): Need => {
      const { instrument, tuning, capo, fifthCapo } = need;
      return { playerId: need.player, setup: { instrument, tuning, capo, fifthCapo } };
    });
    warnings.push(...needs.flatMap(({ setup }) => setupWarning(setup, title)));
    return {
      id: song.id,
      title,
      key: song.key === null ? null : parseKey(song.key),
      tempo: song.tempo,
      meter: parseMeter(song.meter) ?? { count: 4, unit: 4 },
      seconds: song.seconds ?? USUAL_SONG_SECONDS,
      leadSinger: song.leadSinger,
      needs,
      energy: song.energy,
      shaky: song.shaky,
      talkSeconds: song.talkSeconds,
      place: placeOf(song.fixed, file.songs.length),
    };
  });
  const unknown = Object.keys(file.weights).filter((name) => !SET_WEIGHTS.some((known) => known === name));
  for (const name of unknown) {
    warnings.push(`there is no weight '${name}': there are ${SET_WEIGHTS.join(', ')}`);
  }
  const weights = { ...ORDER_WEIGHTS };
  for (const name of SET_WEIGHTS) weights[name] = file.weights[name] ?? ORDER_WEIGHTS[name];
  const { joined, targetSeconds } = file;
  const pair = ([a = '', b = '']: readonly string[]) => [a, b] as const;
  return {
    evening: {
      songs,
      sets: file.sets.length > 0 ? file.sets : songs.length > 0 ? [songs.length] : [],
      near: file.near.map(pair),
      apart: file.apart.map(pair),
      joined,
      weights,
      targetSeconds,
    },
    warnings: [...new Set(warnings)],
  };
}

function placeOf(fixed: SetFile['songs'][number]['fixed'], count: number): number | null {
  if (fixed === 'none') return null;
  if (fixed === 'first') return 0;
  return fixed === 'last' ? count - 1 : fixed - 1;
}

/** A setup that cannot be is counted as it is written, and said. */
function setupWarning(setup: Setup, title: string): string[] {
  const strings = openStrings(setup);
  return strings.ok ? [] : [`in '${title}': ${strings.error.what}`];
}
