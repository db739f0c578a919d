import { type Random, randomFrom } from '../../lib/base';
import { type OfferRequest, offerFills } from '../../lib/fills';
import {
  DEFAULT_SPAN_MILLIMETRES,
  INSTRUMENT_FACTS,
  INSTRUMENTS,
  type InstrumentName,
  type Setup,
  tuningsOf,
} from '../../lib/instruments';
import type { Timeline } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import type { Case } from '../outside/checker/cases';
import { beatsOnChord, faultsOf } from '../outside/checker/check';

/** Eighth notes a minute that a usual player plays with ease. Common practice, no source. */
const EASE: Readonly<Record<string, number>> = {
  guitar: 440,
  banjo: 560,
  mandolin: 460,
  fiddle: 460,
  'resonator guitar': 440,
  bass: 300,
};

/**
 * Clearly different kinds of fill that a player is offered at least where there is time: a space of four beats or more, and a player
 * no slower than usual (a slower one may have time for a note to a beat).
 */
export const FEWEST_FAMILIES: Readonly<Record<string, number>> = {
  guitar: 5,
  banjo: 5,
  mandolin: 3,
  fiddle: 3,
  'resonator guitar': 3,
  bass: 3,
};
const FAMILIES_FROM_BEATS = 4;
/** Of the notes on strong beats at least this share are chord tones. Common practice, no source. */
export const LEAST_ON_CHORD = 0.95;
/** And of those on any beat, where a line may pass through. */
export const LEAST_ON_BEATS = 0.9;

export const PLAYERS: readonly InstrumentName[] = INSTRUMENTS.filter((name) => name !== 'voice');

/** An offer with all that the checker asks about it. */
export function caseOf(request: OfferRequest, offer: Pick<Case, 'family' | 'notes'>): Case {
  const { timeline, space, setup } = request;
  return {
    instrument: setup.instrument,
    tuning: setup.tuning,
    capo: setup.capo,
    fifthCapo: setup.fifthCapo,
    rule: request.rule,
    spanMillimetres: request.spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[setup.instrument],
    eighthsPerMinute: request.comfortEighthsPerMinute ?? EASE[setup.instrument] ?? 0,
    quartersPerMinute: timeline.tempo.tempoAt(space.startTick),
    family: offer.family,
    notes: offer.notes,
    startTick: space.startTick,
    endTick: space.endTick,
    guardTicks: space.guardTicks,
    bars: timeline.bars.map(({ bar, startTick, endTick }) => ({
      startTick,
      endTick,
      count: bar.meter.count,
      unit: bar.meter.unit,
      pickup: bar.pickup,
    })),
    chords: timeline.chordsIn(space.startTick, space.endTick + 3840),
  };
}

/** What was looked at for one instrument, and how it held. */
export interface Count {
  spaces: number;
  offers: number;
  notes: number;
  onBeats: number;
  onBeatsInChord: number;
  onStrong: number;
  onStrongInChord: number;
  /** Spaces of four beats or more, and those of them with too few families. */
  wide: number;
  wanting: number;
  refused: number;
}

export interface Breach {
  readonly instrument: string;
  readonly where: string;
  readonly what: string;
}

export interface Judged {
  readonly counts: ReadonlyMap<InstrumentName, Count>;
  readonly breaches: Breach[];
}

export function emptyJudged(): Judged {
  const counts = new Map(
    PLAYERS.map((name) => [
      name,
      {
        spaces: 0,
        offers: 0,
        notes: 0,
        onBeats: 0,
        onBeatsInChord: 0,
        onStrong: 0,
        onStrongInChord: 0,
        wide: 0,
        wanting: 0,
        refused: 0,
      },
    ]),
  );
  return { counts, breaches: [] };
}

/** Every instrument as it comes, and one of them by turns in another tuning, with a capo, with the short string by itself. */
function setupsFor(random: Random, turn: number): readonly Setup[] {
  const capoOn = (name: InstrumentName, share: number) =>
    random() < share ? Math.floor(random() * (Math.min(5, INSTRUMENT_FACTS[name].highestCapo) + 1)) : 0;
  const plain = PLAYERS.map((instrument) => ({
    instrument,
    tuning: 'standard',
    capo: capoOn(instrument, 0.4),
    fifthCapo: null,
  }));
  const others = PLAYERS.flatMap((instrument) =>
    tuningsOf(instrument)
      .slice(1)
      .map((tuning) => ({ instrument, tuning: tuning.name })),
  );
  const other = others[turn % others.length];
  if (!other) return plain;
  const fifthCapo = other.instrument === 'banjo' && random() < 0.5 ? Math.floor(random() * 5) : null;
  return [...plain, { ...other, capo: capoOn(other.instrument, 0.7), fifthCapo }];
}

/** Offers for one space and every instrument, judged. The same seed asks for the same. */
export function judgeSpace(
  judged: Judged,
  name: string,
  timeline: Timeline,
  space: Space,
  seed: number,
): void {
  const random = randomFrom(seed);
  for (const setup of setupsFor(random, seed)) {
    const instrument = setup.instrument;
    const ease = EASE[instrument] ?? 0;
    const request: OfferRequest = {
      timeline,
      space,
      setup,
      rule: random() < 0.5 ? 'toward' : 'alternate',
      spanMillimetres:
        random() < 0.7 ? null : Math.round(DEFAULT_SPAN_MILLIMETRES[instrument] * (0.85 + 0.3 * random())),
      comfortEighthsPerMinute: random() < 0.7 ? null : Math.round(ease * (0.6 + 0.6 * random())),
      count: 12,
    };
    judgeRequest(judged, name, request);
  }
}

function judgeRequest(judged: Judged, name: string, request: OfferRequest): void {
  const { space, setup } = request;
  const { instrument, tuning, capo, fifthCapo } = setup;
  const count = judged.counts.get(instrument);
  if (!count) throw new Error(`nobody counts for the ${instrument}`);
  const dressed = `${tuning === 'standard' ? '' : ` ${tuning}`}${capo > 0 ? ` capo ${capo}` : ''}${fifthCapo === null ? '' : ` fifth ${fifthCapo}`}`;
  const where = `${name}, space ${space.id}, bar ${space.bar} beat ${space.beat} (${space.beats} beats)${dressed}`;
  const breach = (what: string) => judged.breaches.push({ instrument, where, what });
  count.spaces += 1;
  const offers = offerFills(request);
  if (!offers.ok) {
    count.refused += 1;
    breach(`refused: ${offers.error.what}`);
    return;
  }
  for (const offer of offers.value) {
    const given = caseOf(request, offer);
    const beats = beatsOnChord(given);
    count.offers += 1;
    count.notes += offer.notes.length;
    count.onBeats += beats.notes;
    count.onBeatsInChord += beats.chordTones;
    count.onStrong += beats.strong;
    count.onStrongInChord += beats.strongChordTones;
    for (const fault of faultsOf(given)) breach(`${offer.rank}. ${offer.title}: ${fault}`);
  }
  const slow = (request.comfortEighthsPerMinute ?? Number.POSITIVE_INFINITY) < (EASE[instrument] ?? 0);
  if (space.beats < FAMILIES_FROM_BEATS || slow) return;
  count.wide += 1;
  const families = new Set(offers.value.map((offer) => offer.family));
  const fewest = FEWEST_FAMILIES[instrument] ?? 0;
  if (families.size >= fewest) return;
  count.wanting += 1;
  breach(`${families.size} of ${fewest} families: ${[...families].join(', ') || 'none'}`);
}

/** Instruments whose fills stand too seldom on the chord where it counts. */
export function offChord(judged: Judged): readonly string[] {
  const short = (name: string, where: string, part: number, whole: number, least: number) =>
    whole > 0 && part / whole < least
      ? [`${name}: ${((100 * part) / whole).toFixed(1)} % chord tones on ${where}`]
      : [];
  return [...judged.counts].flatMap(([name, count]) => [
    ...short(name, 'strong beats', count.onStrongInChord, count.onStrong, LEAST_ON_CHORD),
    ...short(name, 'beats', count.onBeatsInChord, count.onBeats, LEAST_ON_BEATS),
  ]);
}
