import { itemAt } from '../../lib/base';
import { fillOf, offerFills } from '../../lib/fills';
import { INSTRUMENTS, type InstrumentName } from '../../lib/instruments';
import { arrange } from '../../lib/parts';
import { type Answer, type Player, type PlayerSetting, roadmapTimeline, type Song } from '../../lib/song';

const PLAYED: readonly InstrumentName[] = INSTRUMENTS.filter((name) => name !== 'voice');
const CAPOS: Partial<Readonly<Record<InstrumentName, number>>> = { guitar: 2, banjo: 2 };

/** A band of six, each on an instrument of their own. */
export const SIX: readonly Player[] = PLAYED.map((instrument, ink) => ({
  id: instrument,
  name: `Player of ${instrument}`,
  initials: instrument.slice(0, 2),
  instruments: [instrument],
  sings: 'none',
  rule: 'toward',
  comfortEighthsPerMinute: null,
  spanMillimetres: null,
  range: null,
  ink,
}));

/** A song with a fill of every player in turn, one in each space for which anything is offered. Guitar and banjo have capos on. */
export function everybodyPlays(song: Song): Song {
  const { spaces } = arrange(song);
  const timeline = roadmapTimeline(song);
  const settings = PLAYED.map(
    (instrument): PlayerSetting => ({
      playerId: instrument,
      instrument,
      tuning: 'standard',
      capo: CAPOS[instrument] ?? 0,
      fifthCapo: null,
      rule: null,
    }),
  );
  const settled = spaces.flatMap((space, i): Answer[] => {
    const setup = itemAt(settings, i % settings.length);
    const offers = offerFills({
      timeline,
      space,
      setup,
      rule: 'toward',
      spanMillimetres: null,
      comfortEighthsPerMinute: null,
      count: 4,
    });
    const offer = offers.ok ? offers.value[i % 4] : undefined;
    if (offer === undefined) return [];
    const { fill, extent } = fillOf(offer, space);
    const holding = { kind: 'fill', playerId: setup.playerId, fill } as const;
    return [{ id: `a${i}`, place: space.place, extent, holding, by: null, at: i }];
  });
  return { ...song, settings, settled };
}
