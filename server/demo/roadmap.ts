import { type MakeId, must } from '../../lib/base';
import type { EndingKind, Pass, PlayerSetting, Role, Section, Song } from '../../lib/song';
import type { DemoPlayerName, DemoPlayers } from './players';

/** One line of a roadmap; who is not named plays backup. */
export interface PlannedPass {
  readonly section: string;
  readonly stanza: number | null;
  readonly name: string;
  readonly roles: Partial<Readonly<Record<DemoPlayerName, Role>>>;
}

export type PlannedSettings = Readonly<
  Record<DemoPlayerName, Pick<PlayerSetting, 'instrument' | 'capo' | 'fifthCapo'>>
>;

const SUNG = { guitar: 'lead' } as const;
const SUNG_IN_THREE = { guitar: 'lead', banjo: 'harmony', mandolin: 'harmony' } as const;
const chorus = (name = ''): PlannedPass => ({ section: 'Chorus', stanza: 1, name, roles: SUNG_IN_THREE });

/** The fiddle starts it alone over the guitar; the banjo keeps out of the first verse. */
export const WALTZ_ROADMAP: readonly PlannedPass[] = [
  { section: 'Kick-off', stanza: null, name: 'Kick-off', roles: { fiddle: 'break', banjo: 'lay out' } },
  { section: 'Verse', stanza: 1, name: 'Verse 1', roles: { ...SUNG, banjo: 'lay out' } },
  chorus('Chorus 1'),
  { section: 'Verse', stanza: null, name: 'Break, mandolin', roles: { mandolin: 'break' } },
  { section: 'Verse', stanza: 2, name: 'Verse 2', roles: SUNG },
  chorus('Chorus 2'),
  { section: 'Kick-off', stanza: null, name: 'Break, guitar', roles: { guitar: 'break', banjo: 'lay out' } },
  { section: 'Verse', stanza: 3, name: 'Verse 3', roles: { ...SUNG, mandolin: 'lay out' } },
  chorus('Chorus 3'),
  { section: 'Tag', stanza: 1, name: 'Tag line, then the fiddle ends it', roles: SUNG_IN_THREE },
];

/** The banjo starts it; breaks go round to mandolin and fiddle. */
export const FAST_ROADMAP: readonly PlannedPass[] = [
  { section: 'Verse', stanza: null, name: 'Kick-off, banjo', roles: { banjo: 'break' } },
  { section: 'Verse', stanza: 1, name: 'Verse 1', roles: SUNG },
  chorus('Chorus 1'),
  { section: 'Verse', stanza: null, name: 'Break, mandolin', roles: { mandolin: 'break' } },
  { section: 'Verse', stanza: 2, name: 'Verse 2', roles: SUNG },
  chorus('Chorus 2'),
  { section: 'Verse', stanza: null, name: 'Break, fiddle', roles: { fiddle: 'break' } },
  { section: 'Verse', stanza: 3, name: 'Verse 3', roles: { ...SUNG, fiddle: 'lay out' } },
  chorus('Chorus 3'),
  { section: 'Tag', stanza: 1, name: 'Tag line, then a tag lick and a dead stop', roles: SUNG_IN_THREE },
];

/** In G, everybody plays open. */
export const WALTZ_SETTINGS: PlannedSettings = {
  guitar: { instrument: 'guitar', capo: 0, fifthCapo: null },
  banjo: { instrument: 'banjo', capo: 0, fifthCapo: 0 },
  mandolin: { instrument: 'mandolin', capo: 0, fifthCapo: null },
  fiddle: { instrument: 'fiddle', capo: 0, fifthCapo: null },
  bass: { instrument: 'bass', capo: 0, fifthCapo: null },
};

/** In A, guitar and banjo play G shapes with a capo at fret 2, the banjo's fifth string up to A with it. */
export const FAST_SETTINGS: PlannedSettings = {
  ...WALTZ_SETTINGS,
  guitar: { instrument: 'guitar', capo: 2, fifthCapo: null },
  banjo: { instrument: 'banjo', capo: 2, fifthCapo: 2 },
};

/** Who starts a song, who counts, and how it ends. */
export interface PlannedCourse {
  readonly starts: DemoPlayerName;
  readonly with: string;
  readonly counts: DemoPlayerName;
  readonly ends: EndingKind;
  readonly signalBy: DemoPlayerName;
}

export const WALTZ_COURSE: PlannedCourse = {
  starts: 'fiddle',
  with: 'the kick-off, alone over the guitar',
  counts: 'guitar',
  ends: 'hold',
  signalBy: 'fiddle',
};

export const FAST_COURSE: PlannedCourse = {
  starts: 'banjo',
  with: 'the kick-off',
  counts: 'banjo',
  ends: 'dead stop',
  signalBy: 'guitar',
};

export function courseOf(course: PlannedCourse, players: DemoPlayers): Pick<Song, 'start' | 'ending'> {
  return {
    start: {
      playerId: players[course.starts].id,
      with: course.with,
      counts: players[course.counts].id,
      tempo: null,
    },
    ending: { kind: course.ends, signalBy: players[course.signalBy].id, note: '' },
  };
}

const NAMES: readonly DemoPlayerName[] = ['guitar', 'banjo', 'mandolin', 'fiddle', 'bass'];

/** The passes of a roadmap over a song's sections, with a role for every player. */
export function passesOf(
  roadmap: readonly PlannedPass[],
  sections: readonly Section[],
  players: DemoPlayers,
  makeId: MakeId,
): readonly Pass[] {
  return roadmap.map(({ section, stanza, name, roles }) => ({
    id: makeId(),
    sectionId: must(
      sections.find((each) => each.name === section),
      `the section '${section}'`,
    ).id,
    stanza,
    ending: 1,
    name,
    roles: Object.fromEntries(NAMES.map((player) => [players[player].id, roles[player] ?? 'backup'])),
  }));
}

export function settingsOf(settings: PlannedSettings, players: DemoPlayers): readonly PlayerSetting[] {
  return NAMES.map((name) => ({
    playerId: players[name].id,
    tuning: 'standard',
    rule: null,
    ...settings[name],
  }));
}
