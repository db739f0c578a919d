import type { InstrumentName } from '../instruments';
import type {
  Answer,
  Extent,
  Holding,
  Pass,
  Player,
  PlayerSetting,
  Role,
  Singing,
  Song,
  SongEnding,
  SongStart,
} from '../song';

/** Who is away, and who steps in. */
export interface SubstituteRequest {
  readonly song: Song;
  /** All of the band, with both of them. */
  readonly players: readonly Player[];
  readonly fromId: string;
  readonly toId: string;
  /** What the substitute plays; left out: the instrument of whoever is away, if they play it, else their own. */
  readonly instrument?: InstrumentName;
}

/** What an answer comes to be; a null holding takes it out. */
export interface AnswerAfter {
  readonly answerId: Answer['id'];
  readonly extent: Extent;
  readonly holding: Holding | null;
}

/** All that is to be written, beside that whoever is away lays out: what the document's edit takes. */
export interface HandedOver {
  readonly fromId: string;
  readonly toId: string;
  /** How the substitute plays this song. */
  readonly setting: PlayerSetting;
  /** The substitute's roles that change; null: none, and they play backup. */
  readonly roles: readonly { readonly passId: Pass['id']; readonly role: Role | null }[];
  readonly voices: readonly { readonly voiceId: string; readonly playerId: string | null }[];
  readonly singing: readonly Singing[];
  readonly start: Partial<SongStart>;
  readonly ending: Partial<SongEnding>;
  readonly answers: readonly AnswerAfter[];
}

/** One player's song in another's hands: what to write, and what became of it. */
export interface Substitute {
  readonly songId: string;
  readonly writes: HandedOver;
  /** True where whoever is away has nothing in this song that goes to anybody. */
  readonly isNothing: boolean;
  /** Fills that keep their notes, and places that are played ad lib. */
  readonly kept: number;
  /** Fills that were solved anew, each in a sentence, in the order of the song. */
  readonly anew: readonly string[];
  /** What does not go, each in a sentence, in the order of the song. */
  readonly left: readonly string[];
  /** What is hard or clashes from then on, each in a sentence. */
  readonly cautions: readonly string[];
}
