/** The instruments of the band, by the trade's names. `voice` is here because a voice can take a space too. */
export const INSTRUMENTS = [
  'voice',
  'guitar',
  'banjo',
  'mandolin',
  'fiddle',
  'resonator guitar',
  'bass',
] as const;
export type InstrumentName = (typeof INSTRUMENTS)[number];

export const ARTICULATIONS = [
  'struck',
  'hammer',
  'pull',
  'slide',
  'choke',
  'tremolo',
  'pinch',
  'bowed',
  'slurred',
] as const;
/** How a note is sounded. A stroke belongs to struck (tremolo, pinched, bowed) notes only. */
export type Articulation = (typeof ARTICULATIONS)[number];

export const STROKES = ['down', 'up', 'thumb', 'index', 'middle'] as const;
/** What the right hand does: a pick's direction, a bow's, or a finger of a banjo player's. */
export type Stroke = (typeof STROKES)[number];

export const STROKE_RULES = ['toward', 'alternate'] as const;
/** How a flat-pick player chooses strokes: toward the next string, or alternating on the grid. */
export type StrokeRule = (typeof STROKE_RULES)[number];
