import { type MicrophoneMove, microphoneMoves } from '../../players';
import { type Band, microphoneOf, type Player, settingOf } from '../../song';
import { BeatClock } from '../../spaces';
import { beatsSaid, type Ticks } from '../../time';
import type { Arrangement } from '../arrangement';
import type { Drawing } from '../drawing';
import { widthInEms } from '../spacing';
import { textAt } from './row-look';

/** What a player is told to do at a moment, under the words of a row. */
export interface RowCue {
  readonly tick: Ticks;
  /** The bar and beat, to half a beat: `bar 8, beat 2`. */
  readonly at: string;
  readonly text: string;
}

/** A player's own moves to the one microphone and from it, in words; none where the band has more than one. */
export function microphoneCues(arrangement: Arrangement, band: Band, player: Player): readonly RowCue[] {
  const microphone = microphoneOf(band);
  if (!microphone) return [];
  const { timeline, spaces, song } = arrangement;
  const moves = microphoneMoves({
    timeline,
    spaces,
    players: band.players,
    settled: song.settled,
    microphone,
  });
  const called = (id: string | undefined): string | null => {
    const crossed = band.players.find((one) => one.id === id);
    if (!crossed) return null;
    const { instrument } = settingOf(song, crossed);
    return instrument === 'voice' ? crossed.name : `the ${instrument}`;
  };
  const clock = new BeatClock(timeline);
  return moves
    .filter(({ playerId }) => playerId === player.id)
    .map((move) => {
      const { bar, beat } = clock.countAt(move.startTick);
      const at = bar === 0 ? 'the pickup' : `bar ${bar}, beat ${beatsSaid(Math.round(beat * 2) / 2)}`;
      return { tick: move.startTick, at, text: inWords(move, called(move.crosses[0])) };
    });
}

/** `in to the mic`, `out, behind the banjo`, `out to the left`. */
function inWords({ way, side, endTick, lateSeconds }: MicrophoneMove, past: string | null): string {
  if (way === 'out') {
    if (past !== null) return `out, behind ${past}`;
    return side === 'middle' ? 'straight out' : `out to the ${side}`;
  }
  if (endTick <= 0) return 'at the mic';
  const short = lateSeconds > 0 ? ` (${Math.ceil(lateSeconds * 10) / 10} s short)` : '';
  return `in to the mic${past === null ? '' : `, past ${past}`}${short}`;
}

/** Size of a cue, from lane to lane, and from cue to cue, in CSS pixels. */
const SIZE = 12.5;
const LANE = 15;
const APART = 12;

/** A cue where it stands in a row. */
export interface PlacedCue {
  readonly x: number;
  readonly text: string;
}

/** Cues from left to right beneath a row, in as many lanes as keep them apart, none beyond the row's width. */
export function cuesUnder(
  cues: readonly PlacedCue[],
  top: number,
  width: number,
): { readonly drawing: Drawing; readonly height: number } {
  const ends: number[] = [];
  const drawing = cues.map(({ x, text }) => {
    const wide = widthInEms(text) * SIZE;
    const left = Math.max(0, Math.min(x, width - wide));
    const free = ends.findIndex((end) => end + APART <= left);
    const lane = free < 0 ? ends.length : free;
    ends[lane] = left + wide;
    return textAt(left, top + (lane + 1) * LANE - 4, text, SIZE, { face: 'plain' });
  });
  return { drawing, height: ends.length * LANE };
}
