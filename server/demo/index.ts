/**
 * The demo: an invented band of five before an invented gig, with two songs of its own, arranged far enough that a
 * newcomer sees each state that a space can be in. It is made through the same rooms as anybody's song (the ABC
 * text is read, the spaces found, the fills offered and settled), so it can hold nothing that a band could not have made.
 * It stores nothing and knows of no server.
 */
import { type MakeId, makeIds, randomFrom } from '../../lib/base';
import { readAbc } from '../../lib/exchange';
import { type Band, NEW_BAND, type Song, USUAL_ENTRY, USUAL_SONG } from '../../lib/song';
import { BEES_IN_THE_BOXCAR } from './bees-in-the-boxcar';
import { NORTH_SIDE_SNOW } from './north-side-snow';
import { type DemoPlayers, demoPlayers } from './players';
import {
  courseOf,
  FAST_COURSE,
  FAST_ROADMAP,
  FAST_SETTINGS,
  type PlannedCourse,
  type PlannedPass,
  type PlannedSettings,
  passesOf,
  settingsOf,
  WALTZ_COURSE,
  WALTZ_ROADMAP,
  WALTZ_SETTINGS,
} from './roadmap';
import { FAST_ANSWERS, type PlannedAnswer, settle, WALTZ_ANSWERS } from './settle';

export interface Demo {
  readonly band: Band;
  readonly songs: readonly Song[];
}

const SEED = 5;

/**
 * The demo band and its songs.
 *
 * @param makeId the same ids in the same order give the same demo; without it, always the same one. Where several demo bands
 *   live on one server, each is made with ids of its own.
 * @throws where the demo's own text, roadmap or answers do not hold together, which only a mistake of ours can cause
 */
export async function demoBand(makeId: MakeId = makeIds(randomFrom(SEED))): Promise<Demo> {
  const bandId = makeId();
  const players = demoPlayers(makeId);
  const songs = [
    await arrange(
      NORTH_SIDE_SNOW,
      WALTZ_ROADMAP,
      WALTZ_COURSE,
      WALTZ_SETTINGS,
      WALTZ_ANSWERS,
      players,
      makeId,
    ),
    await arrange(
      BEES_IN_THE_BOXCAR,
      FAST_ROADMAP,
      FAST_COURSE,
      FAST_SETTINGS,
      FAST_ANSWERS,
      players,
      makeId,
    ),
  ];
  const notes = ['after the supper: low lights, fiddle alone', 'last one, guitar and banjo capo 2'];
  const band: Band = {
    id: bandId,
    name: 'Pantry Door Five',
    players: [players.guitar, players.banjo, players.mandolin, players.fiddle, players.bass],
    songs: songs.map(({ id, title }) => ({ ...USUAL_SONG, id, title })),
    sets: [
      {
        id: makeId(),
        name: 'Grange hall supper, Saturday',
        targetSeconds: 600,
        pairs: [],
        entries: songs.map((song, i) => ({
          ...USUAL_ENTRY,
          id: makeId(),
          songId: song.id,
          note: notes[i] ?? '',
        })),
      },
    ],
    ...NEW_BAND,
  };
  return { band, songs };
}

async function arrange(
  abc: string,
  roadmap: readonly PlannedPass[],
  course: PlannedCourse,
  settings: PlannedSettings,
  answers: readonly PlannedAnswer[],
  players: DemoPlayers,
  makeId: MakeId,
): Promise<Song> {
  const read = await readAbc(abc, { makeId, title: 'Demo' });
  if (!read.ok)
    throw new Error(`the demo's own song cannot be read: ${read.error.what}, ${read.error.where}`);
  const { song } = read.value;
  const singers = {
    lead: players.guitar.id,
    tenor: players.banjo.id,
    baritone: players.mandolin.id,
    other: null,
  };
  const arranged: Song = {
    ...song,
    voices: song.voices.map((voice) => ({ ...voice, playerId: singers[voice.part] })),
    passes: passesOf(roadmap, song.sections, players, makeId),
    settings: settingsOf(settings, players),
    ...courseOf(course, players),
  };
  return { ...arranged, settled: settle(arranged, answers, players, makeId) };
}
