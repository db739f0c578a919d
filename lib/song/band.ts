import type { InstrumentName, StrokeRule } from '../instruments';
import type { PitchRange } from './decided';
import type { Extent, FillNote } from './fill';

/** A person who plays in the band. */
export interface Player {
  readonly id: string;
  readonly name: string;
  /** Two or three signs of the band's choosing. */
  readonly initials: string;
  /** The main one first. */
  readonly instruments: readonly InstrumentName[];
  readonly sings: 'lead' | 'tenor' | 'baritone' | 'none';
  readonly rule: StrokeRule;
  /** Eighth notes a minute that the player plays with ease; null: not said. */
  readonly comfortEighthsPerMinute: number | null;
  /** From index to little finger, stretched; null: not said. */
  readonly spanMillimetres: number | null;
  /** Lowest and highest note that the player sings with ease, in any song; null: not said. */
  readonly range: PitchRange | null;
  /** Which of the player inks, from 0. */
  readonly ink: number;
}

/** A song as the band's list names it; the song itself is a document of its own. */
export interface SongEntry {
  readonly id: string;
  readonly title: string;
  /** What it asks of a crowd, from 1 quiet to 5 strong; null: not said. */
  readonly energy: number | null;
  /** Put away: not offered for sets, and to be brought back at any time. */
  readonly archived: boolean;
}

/** Where a song is held while an order is looked for: a number counts from 1 in its set. */
export type Hold = 'first' | 'last' | 'before the break' | number;

export interface SetEntry {
  readonly id: string;
  readonly songId: string;
  readonly note: string;
  /** What is said to the crowd before it, in seconds. */
  readonly talkSeconds: number;
  /** Null: it may stand anywhere. */
  readonly hold: Hold | null;
  /** Bars that link it to the next song, played without a stop (a medley); null: a stop. */
  readonly linkBars: number | null;
  /** True where the band takes a break after it. */
  readonly breakAfter: boolean;
}

/** Two songs, by id in order, that are wanted next to each other, or not next to each other. */
export interface SongPair {
  readonly songs: readonly [string, string];
  readonly wanted: 'near' | 'apart';
}

export interface SetList {
  readonly id: string;
  readonly name: string;
  /** Time promised, in seconds; null: not said. */
  readonly targetSeconds: number | null;
  readonly entries: readonly SetEntry[];
  readonly pairs: readonly SongPair[];
}

/** A figure of a player's own, written once on a chord, to be fitted to others. */
export interface Figure {
  readonly id: string;
  readonly playerId: string;
  readonly name: string;
  readonly instrument: InstrumentName;
  /** The chord symbol that it was written on. */
  readonly chord: string;
  /** Ticks as in `extent`, whose 0 is the beat on which the figure begins. */
  readonly notes: readonly FillNote[];
  readonly extent: Extent;
}

/** A line about a song after a gig. */
export interface Remark {
  readonly id: string;
  readonly songId: string;
  readonly text: string;
  /** False: shaky. */
  readonly solid: boolean;
  /** A player; null: not said. */
  readonly by: string | null;
  /** Milliseconds since 1970. */
  readonly at: number;
}

export interface Band {
  readonly id: string;
  readonly name: string;
  readonly players: readonly Player[];
  readonly songs: readonly SongEntry[];
  readonly sets: readonly SetList[];
  /** In the order of their names. */
  readonly figures: readonly Figure[];
  /** In time order. */
  readonly remarks: readonly Remark[];
  /** Who decides who holds which space; null: nobody was named. */
  readonly leaderId: string | null;
  /** True where whoever is to be heard steps up to one microphone. */
  readonly oneMicrophone: boolean;
  /** From one's place up to the microphone, and from it back out of the way, in seconds. Read them by `microphoneOf`. */
  readonly microphoneInSeconds: number;
  readonly microphoneOutSeconds: number;
  /** Player ids from left to right as they stand facing the crowd; not everybody need be named. */
  readonly microphonePlaces: readonly string[];
  /** True where proposals are voted on. */
  readonly votes: boolean;
  /** The share of the spaces that is to be left open, from 0 to 1. */
  readonly openShare: number;
}

export const BAND_SETTINGS = [
  'leaderId',
  'oneMicrophone',
  'microphoneInSeconds',
  'microphoneOutSeconds',
  'microphonePlaces',
  'votes',
  'openShare',
] as const;
export type BandSettings = Pick<Band, (typeof BAND_SETTINGS)[number]>;

/** Who stands a step and a half from the microphone, and walks at ease. */
const STEP_METRES = 1.35;
/** Source, from memory: R. W. Bohannon, Age and Ageing 26 (1997): people walk at ease at 1.3 to 1.4 metres a second. */
const WALK_METRES_PER_SECOND = 1.35;
/** A second either way, which agrees with the trade's 'a beat or two' for coming in and going out. Common practice, no source. */
const USUAL_STEP_SECONDS = STEP_METRES / WALK_METRES_PER_SECOND;

/** What a new band has, beside its name and people. One space in five open: common practice, no source. */
export const NEW_BAND: Pick<Band, 'figures' | 'remarks'> & BandSettings = {
  figures: [],
  remarks: [],
  leaderId: null,
  oneMicrophone: false,
  microphoneInSeconds: USUAL_STEP_SECONDS,
  microphoneOutSeconds: USUAL_STEP_SECONDS,
  microphonePlaces: [],
  votes: false,
  openShare: 0.2,
};

/** What a song's entry has where nobody said otherwise. */
export const USUAL_SONG: Omit<SongEntry, 'id' | 'title'> = { energy: null, archived: false };

/** What a set's entry has where nobody said otherwise. */
export const USUAL_ENTRY: Omit<SetEntry, 'id' | 'songId'> = {
  note: '',
  talkSeconds: 0,
  hold: null,
  linkBars: null,
  breakAfter: false,
};
