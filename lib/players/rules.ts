/**
 * How much time people need, in counted beats and seconds: the longer of the two holds. Common practice, no source,
 * but for what is marked.
 */
export const FREEDOM_RULES = {
  /** From the last note of a fill to a player's own next sung note: hands to backup, breath, pitch in the ear. */
  singerReturnBeats: 1,
  singerReturnSeconds: 0.5,
  /** Between two fills of one player. */
  betweenFillsBeats: 1,
  betweenFillsSeconds: 0.5,
  /** Kept free before one's own break, in bars: room for the pickup into it. */
  barsBeforeBreak: 1,
  /** A fill needs this much; of a space that is shorter, all of it. */
  fewestBeats: 1.5,
} as const;
