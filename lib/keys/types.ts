import type { Reason } from '../base';
import type { InstrumentName, Setup } from '../instruments';
import type { Fill, PlayerSetting } from '../song';
import type { Key } from '../theory';

/** A lowest and a highest note, MIDI numbers as sounded: of a tune, or of a voice. */
export interface Extent {
  readonly lowest: number;
  readonly highest: number;
}

/** A key that a singer could sing a tune in. */
export interface KeyForSinger {
  readonly key: Key;
  /** From the key as it is. */
  readonly semitones: number;
  /** The tune in this key. */
  readonly extent: Extent;
  /** True where the whole tune lies inside the singer's range. */
  readonly fits: boolean;
  /** In points (`VOICE_COSTS`); the sum of the reasons. */
  readonly cost: number;
  readonly reasons: readonly Reason[];
}

/** A way in which a player could play in a key. */
export interface SetupForKey {
  readonly setup: Setup;
  /** The key whose shapes the hand plays, the capo taken away: `G` with the capo at 4 in B. */
  readonly shapes: Key;
  /** In points (`KEY_COSTS`); the sum of the reasons. */
  readonly cost: number;
  readonly reasons: readonly Reason[];
}

/** What becomes of a settled or proposed fill. */
export interface FillInKey {
  readonly answerId: string;
  readonly playerId: string;
  /** The fill with the same frets and strings, sounding in the new key; null: it has to be solved anew. */
  readonly fill: Fill | null;
  readonly reason: string;
}

/** One player's part in a change of key. */
export interface PlayerInKey {
  readonly playerId: string;
  readonly instrument: InstrumentName;
  readonly before: PlayerSetting;
  readonly after: PlayerSetting;
  readonly shapes: Key;
  readonly cost: number;
  readonly reasons: readonly Reason[];
  /** Other ways, the next best first. */
  readonly others: readonly SetupForKey[];
}

/** A song moved to another key, as one edit: everything to write, and what it breaks. */
export interface KeyChange {
  readonly songId: string;
  readonly from: Key;
  readonly to: Key;
  /** By which sung notes, keys and chords move. */
  readonly semitones: number;
  readonly players: readonly PlayerInKey[];
  readonly fills: readonly FillInKey[];
  /** What to know before it is done, in sentences: notes out of hearing, fills to be solved anew, ranges left. */
  readonly cautions: readonly string[];
}
