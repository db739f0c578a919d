import type { ReactNode } from 'react';
import type { SongEdits } from '../../lib/document';
import type { Arrangement, PassLines } from '../../lib/parts';
import type { Band, Pass } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import type { Facts } from './useFacts';
import type { TalkWay } from './useTalk';
import type { WordsWay } from './useWords';

/** What a pass on the board is drawn from, and what opens in it. */
export interface BoardPassProps {
  readonly pass: PassLines;
  /** Null: the section is not in the song's order. */
  readonly played: Pass | null;
  readonly name: string;
  /** The how manyth pass of this name it is. */
  readonly time: number;
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly facts: Facts;
  readonly edits: SongEdits | null;
  readonly you: string | null;
  readonly hang: number;
  readonly way: WordsWay;
  /** Left out where nobody may change words. */
  readonly onWords: ((lineKey: string) => void) | undefined;
  readonly backup: { readonly isOpen: boolean; readonly toggle: () => void };
  readonly talk: TalkWay;
  readonly openSpace: (space: Space) => void;
  /** The space that is open, in whichever pass, and what opens beneath the line in which it starts; null: none. */
  readonly open: Space | null;
  readonly detail: ReactNode;
}
