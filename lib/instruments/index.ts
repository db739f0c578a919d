/**
 * What the instruments of the band can do: strings, tunings, capo and geometry; the left hand's plan and the
 * right hand's. It knows nothing of songs or of which notes would sound well.
 */

export { planHand } from './hand';
export { HAND_COSTS, HAND_TERMS, type HandTerm, SLANT_FRETS } from './hand-costs';
export { indexPlaces, indexReach } from './hand-model';
export {
  ARTICULATIONS,
  type Articulation,
  INSTRUMENTS,
  type InstrumentName,
  STROKE_RULES,
  STROKES,
  type Stroke,
  type StrokeRule,
} from './names';
export type {
  Fingering,
  HandOptions,
  HandPlan,
  NoteToPlan,
  NoteToStrike,
  PlanHand,
  PlannedStroke,
  PlanStrokes,
  Setup,
  StrokeOptions,
} from './plan';
export {
  betweenFretsMillimetres,
  fretMillimetres,
  type OpenString,
  openStrings,
  type Place,
  placeMillimetres,
  placesOf,
  plainSetup,
  rangeOf,
  stringCount,
  tuningAsked,
  tuningsOf,
  writtenMidi,
} from './setup';
export {
  CHANGE_COSTS,
  changeCost,
  type Hold,
  STRING_SPACING_MILLIMETRES,
  shapeOfStops,
  smoothestHolds,
  type Turn,
} from './shape-changes';
export { type ChordShape, type ChordShapeOptions, chordShape, SHAPE_COSTS } from './shapes';
export { MIX_COSTS } from './stroke-mix';
export { markStrokes, planStrokes, strokesForFigure } from './strokes';
export { isStruck } from './struck';
export { DEFAULT_SPAN_MILLIMETRES, INSTRUMENT_FACTS, type InstrumentFacts, type Tuning } from './tunings';
