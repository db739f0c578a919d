import type { z } from 'zod';
import { fail, ok, type Result } from '../../lib/base';
import type { SongRead } from '../../lib/exchange';
import { type Offer, offerFills } from '../../lib/fills';
import { INSTRUMENT_FACTS, openStrings, plainSetup, type Setup, tuningAsked } from '../../lib/instruments';
import { type FillNote, writtenTimeline } from '../../lib/song';
import { findSpaces, type Space } from '../../lib/spaces';
import { pitchName } from '../../lib/theory';
import { WrongCall } from './call';
import { reasonAnswer } from './free';
import type { OFFERS_OPTIONS } from './options';
import { type Answer, plain, rounded, type Told, table } from './output';

type Options = z.infer<typeof OFFERS_OPTIONS>;

/** How many offers where nobody says. */
const COUNT = 5;

/** @throws WrongCall for a setup that the instrument does not have */
export function setupOf(options: Pick<Options, 'player' | 'tuning' | 'capo'>): Setup {
  const plainly = plainSetup(options.player);
  const asked = options.tuning ?? plainly.tuning;
  const tuning = tuningAsked(options.player, asked)?.name ?? asked;
  const setup = { ...plainly, tuning, capo: options.capo ?? 0 };
  const strings = openStrings(setup);
  if (!strings.ok) throw new WrongCall(`${strings.error.what}; ${strings.error.mend}`);
  return setup;
}

/** `offers`: what one player could play in a space, or in each, of the song as written. */
export function tellOffers(file: string, read: SongRead, options: Options, setup: Setup): Result<Told> {
  const timeline = writtenTimeline(read.song);
  const all = findSpaces(timeline);
  const asked = options.space === 'all' ? all : all.filter((space) => space.id === options.space);
  if (asked.length === 0 && options.space !== 'all') {
    const ids = all.map((space) => space.id).join(', ');
    return fail(`there is no space '${options.space}'`, file, `its spaces are: ${ids || 'none'}`);
  }
  const answers: { space: Space; offers: readonly Offer[]; why: string }[] = [];
  for (const space of asked) {
    const offers = offerFills({
      timeline,
      space,
      setup,
      rule: options.rule,
      spanMillimetres: null,
      comfortEighthsPerMinute: null,
      count: options.count ?? COUNT,
    });
    // A space that cannot be played in leaves the others theirs.
    if (!offers.ok && asked.length === 1) return offers;
    answers.push(
      offers.ok
        ? { space, offers: offers.value, why: 'nothing fits' }
        : { space, offers: [], why: `nothing: ${offers.error.what}; ${offers.error.mend}` },
    );
  }
  return ok({
    answer: {
      file,
      spaces: answers.map(({ space, offers }) => ({
        id: space.id,
        offers: offers.map((offer) => offerAnswer(offer, setup)),
      })),
    },
    text: [
      `${read.song.title} (${file})`,
      ...answers.flatMap(({ space, offers, why }) => spaceText(space, offers, setup, why)),
      ...(answers.length === 0 ? ['  no spaces'] : []),
    ].join('\n'),
  });
}

function offerAnswer(offer: Offer, setup: Setup): Answer {
  return {
    rank: offer.rank,
    score: rounded(offer.score, 3),
    family: offer.family,
    notes: offer.notes.map((note) => noteAnswer(note, setup)),
    reasons: offer.reasons.map(reasonAnswer),
  };
}

/** A note as the command line answers it. A voice has no string, fret or finger, but words. */
export function noteAnswer(note: FillNote, setup: Setup): Answer {
  const { tick, ticks, midi, stroke, articulation } = note;
  if (setup.instrument === 'voice')
    return {
      tick,
      ticks,
      midi,
      string: null,
      fret: null,
      finger: null,
      stroke,
      articulation,
      word: note.word ?? null,
    };
  const { string, finger } = note;
  return { tick, ticks, midi, string, fret: printedFret(note, setup), finger, stroke, articulation };
}

/**
 * The fret as it is printed: from the capo, but on a string that begins further up the neck (the banjo's fifth) from its
 * own nut, however many frets it is raised by.
 */
export function printedFret(note: FillNote, setup: Setup): number {
  const facts = INSTRUMENT_FACTS[setup.instrument];
  const raised = (facts.startsAtFret[note.string] ?? 0) > 0 ? (setup.fifthCapo ?? setup.capo) : 0;
  return note.fret + raised;
}

function spaceText(space: Space, offers: readonly Offer[], setup: Setup, why: string): string[] {
  const head = `  bar ${space.bar}, beat ${plain(space.beat)}: ${plain(space.beats)} beats (${space.id})`;
  if (offers.length === 0) return [head, `    ${why}`];
  return [
    head,
    ...offers.flatMap((offer) => [
      `    ${offer.rank}. ${offer.title}`,
      ...table(setup.instrument === 'voice' ? sungRows(offer) : playedRows(offer, setup)),
    ]),
  ];
}

const playedRows = ({ notes }: Offer, setup: Setup) => [
  ['      string', ...notes.map((note) => String(note.string))],
  ['      fret', ...notes.map((note) => String(printedFret(note, setup)))],
  ['      stroke', ...notes.map((note) => note.stroke ?? '-')],
];

const sungRows = ({ notes }: Offer) => [
  ['      note', ...notes.map((note) => pitchName(note.midi, 'sharps'))],
  ['      word', ...notes.map((note) => note.word ?? '_')],
];
