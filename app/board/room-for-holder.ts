import { roomBefore, type Standing, widthInEms } from '../../lib/parts';
import type { LineLook } from './look';

/** A holder's initials, as a share of the words' size. */
export const INITIALS = 0.72;

/** Pixels that a holder's initials (and a clef) take before a space's notes. */
export function roomForHolder(
  standing: Standing | undefined,
  look: Pick<LineLook, 'playerOf' | 'instrumentOf' | 'geometry' | 'onlyPlayer' | 'songKey'>,
): number {
  const holding = standing?.answer.holding;
  if (!holding || holding.kind === 'left open') return 0;
  const { geometry } = look;
  const initials = look.playerOf(holding.playerId)?.initials ?? '';
  const isDrawn =
    holding.kind === 'fill' && (look.onlyPlayer === null || look.onlyPlayer === holding.playerId);
  const clef = isDrawn
    ? roomBefore({
        instrument: look.instrumentOf(holding.playerId),
        key: look.songKey,
        top: geometry.tabTop,
        bottom: geometry.tabBottom,
      })
    : 0;
  return widthInEms(initials) * geometry.wordSize * INITIALS + 8 + clef;
}
