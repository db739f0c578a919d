import type { InstrumentName } from '../../lib/instruments';
import type { ChordNaming, Line, Standing } from '../../lib/parts';
import type { Key } from '../../lib/theory';
import type { LineGeometry } from './geometry';
import type { Inks } from './inks';
import type { At, ChordPlace, LinePlace, WordPlace } from './places';

/** What every piece of a line needs to know, whichever line it is in. */
export interface LineLook {
  readonly pixelsPerTick: number;
  readonly geometry: LineGeometry;
  readonly bySpace: ReadonlyMap<string, Standing>;
  readonly playerOf: (id: string) => Inks | null;
  readonly instrumentOf: (playerId: string) => InstrumentName;
  readonly songKey: Key;
  readonly chordName: ChordNaming;
  readonly isReadable: (symbol: string) => boolean;
  /** Who has the break of an instrumental pass, by pass id. */
  readonly breakOf: (passId: string) => Inks | null;
  /** Why what stands in a space can no longer be played as it is; null: it can. */
  readonly troubleOf: (spaceId: string) => string | null;
  /** Null on paper: nothing can be pressed there. */
  readonly spaces: SpaceActions | null;
  /** Whose notes are shown; null: everybody's. */
  readonly onlyPlayer: string | null;
  /** While somebody changes this line's words and chords; else they only stand there. */
  readonly words?: WordsInUse | null;
}

/** One line, and what it needs. */
export interface LineProps extends LineLook {
  readonly line: Line;
  /** Room to the left in pixels, in which pickups hang. */
  readonly hang: number;
  readonly barNumbers: boolean;
  /** Width of the sheet in pixels, where it is known: a line that is wider breaks into rows of about one length. */
  readonly sheetWidth?: number;
  /** How those of its rows are drawn in which no notes are written, where that differs. */
  readonly without?: LineGeometry;
  /** Opens the line's words, to be changed; left out where nobody may. */
  readonly onWords?: ((lineKey: string) => void) | undefined;
  /** What is said of the line; left out on paper. */
  readonly talk?: TalkInMargin;
  /** Opens what is said of the line, or closes it. */
  readonly onTalk?: (lineKey: string) => void;
}

/** What a margin tells of a talk. */
export interface TalkInMargin {
  /** How many things are said. */
  readonly said: number;
  /** Whether anything of it is not answered yet. */
  readonly waits: boolean;
  readonly isOpen: boolean;
}

/** The words and chords of a line that is being changed. */
export interface WordsInUse {
  readonly words: readonly WordPlace[];
  readonly chords: readonly ChordPlace[];
  readonly chosen: At | null;
  readonly choose: (at: At) => void;
  /** Goes to the field in which it is written; with a first letter, that is typed already. */
  readonly write: (first?: string) => void;
  readonly labelOf: (place: LinePlace) => string;
}

export interface SpaceActions {
  readonly openId: string | null;
  readonly peersAt: (spaceId: string) => readonly Inks[];
  readonly press: (spaceId: string) => void;
  readonly labelOf: (spaceId: string) => string;
  /** Whether anything was put to the band there. */
  readonly isPut: (spaceId: string) => boolean;
}
