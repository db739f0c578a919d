import type { Player } from '../../../lib/song';

/** A player for tests: a guitarist who sings nothing, named by the id, but for what is said otherwise. */
export const somebody = (id: string, more: Partial<Player> = {}): Player => ({
  id,
  name: id,
  initials: id.slice(0, 2),
  instruments: ['guitar'],
  sings: 'none',
  rule: 'toward',
  comfortEighthsPerMinute: null,
  spanMillimetres: null,
  range: null,
  ink: 0,
  ...more,
});
