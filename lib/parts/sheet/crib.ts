import type { InstrumentName } from '../../instruments';
import { setupsForKey } from '../../keys';
import { type Band, type Player, type Song, settingOf } from '../../song';
import type { Arrangement } from '../arrangement';
import { chordNaming } from '../chords';
import { type Part, partOf } from '../part';
import { chartBlocks } from './chart';
import { endInWords, startInWords } from './course';
import { orderBlocks, ownBlocks, paragraph, textBlock } from './head';
import { microphoneCues } from './microphone';
import { heightOn, roomOn, sheetsFrom } from './paged';
import { passBlocks } from './passes';
import { type Block, type Measure, type Paper, type Sheet, TURN_COSTS } from './types';

export interface CribRequest {
  readonly arrangement: Arrangement;
  readonly band: Band;
  /** Whose part is taken over, or a newcomer of `withNewcomer`. */
  readonly player: Player;
  readonly paper: Paper;
  readonly asOf: string;
  readonly measure: Measure;
  readonly notes?: readonly string[];
}

/** The id of a newcomer: no player of a band has it. */
const NEWCOMER = 'newcomer';

/**
 * A song for somebody who was never in the band: set up as whoever plays that instrument there, else with the capo that costs least in
 * the song's key (`setupsForKey`).
 */
export function withNewcomer(
  band: Band,
  song: Song,
  instrument: InstrumentName,
): { readonly song: Song; readonly player: Player } {
  const player: Player = {
    id: NEWCOMER,
    name: 'Someone new',
    initials: '',
    instruments: [instrument],
    sings: 'none',
    rule: 'alternate',
    comfortEighthsPerMinute: null,
    spanMillimetres: null,
    range: null,
    ink: 0,
  };
  const bare = settingOf({ settings: [] }, player);
  const like = band.players
    .map((one) => settingOf(song, one))
    .find((setting) => setting.instrument === instrument);
  const found = like ? null : setupsForKey(song.key, { setup: bare, key: song.key });
  const best = found?.ok ? found.value[0]?.setup : undefined;
  const setting = { ...bare, ...(like ?? best), playerId: NEWCOMER };
  return { song: { ...song, settings: [...song.settings, setting] }, player };
}

/** The notes of what they play stand on it too, where it stays at least so large. */
const NOTES_FROM = 0.82;
const SCALES = [1, 0.94, 0.88, 0.82, 0.76, 0.7, 0.64] as const;

/**
 * All that somebody who sits in needs of a song, on one page: key, capo, order, chords as shapes and by scale degree, how it starts and
 * ends, where they play. At the largest size that goes on a page; a song that does not go on one even small takes more.
 */
export function cribSheets(request: CribRequest): readonly Sheet[] {
  const { arrangement, band, player, paper, asOf, measure } = request;
  const at = (scale: number, withNotes: boolean) => cribBlocks(request, roomOn(paper, scale), withNotes);
  const fits = (scale: number, withNotes: boolean) =>
    at(scale, withNotes).reduce((sum, block) => sum + block.height, 0) <= heightOn(paper, scale);
  const large = SCALES.find((one) => one >= NOTES_FROM && fits(one, true));
  const scale = large ?? SCALES.find((one) => fits(one, false)) ?? 1;
  return sheetsFrom(at(scale, large !== undefined), {
    paper,
    measure,
    scale,
    foot: {
      left: `${band.name} · ${arrangement.song.title} · crib, ${player.name}`,
      middle: `as of ${asOf}`,
      right: (page, pages) => `page ${page} of ${pages}`,
    },
  });
}

function cribBlocks(request: CribRequest, width: number, withNotes: boolean): readonly Block[] {
  const { arrangement, band, player, measure, notes = [] } = request;
  const { song, timeline } = arrangement;
  const part = partOf(arrangement, band, player);
  const { head } = part;
  const { capo } = settingOf(song, player);
  const block = (text: string, before = 0) => textBlock(paragraph(text, 12), width, measure, before);
  return [
    textBlock(
      paragraph('', 22, { runs: [{ text: head.title, face: 'words' }], leading: 1.15 }),
      width,
      measure,
    ),
    textBlock(
      paragraph('', 12, {
        runs: [
          {
            text: player.id === NEWCOMER ? 'For someone new' : `For whoever plays ${head.player}’s part`,
            face: 'strong',
          },
          { text: `, ${head.instrument}${head.tuning === '' ? '' : `, ${head.tuning}`}`, face: 'plain' },
        ],
      }),
      width,
      measure,
      3,
    ),
    block(`${head.key} · ${head.meter} · ${head.tempo}, ${head.feel}`),
    ...courseToAsk(song, band).map((sentence) => block(sentence)),
    ...notes.map((note) => textBlock(paragraph(note, 10, { tone: 'quiet' }), width, measure, 2)),
    ...orderBlocks(part, width, measure),
    ...chartBlocks({
      arrangement,
      names: part.chordName,
      under: chordNaming(timeline, capo, 'degrees'),
      width,
      measure,
    }),
    ...whereBlocks(part, arrangement, player, width, measure),
    ...(withNotes
      ? passBlocks({
          ...{ arrangement, players: band.players, player, part, lines: 'own notes', width, measure },
          cues: microphoneCues(arrangement, band, player),
        })
      : []),
  ];
}

/** How it starts and ends; what nobody has said is named, so that one asks before one plays. */
function courseToAsk(song: Song, band: Band): readonly string[] {
  const starts = startInWords(song, band);
  const ends = endInWords(song, band);
  return [
    [
      ...(starts.length > 0 ? starts : ['Ask who starts: nobody has said.']),
      ...(ends.length > 0 ? ends : ['Ask how it ends: nobody has said.']),
    ].join(' '),
  ];
}

function whereBlocks(
  part: Part,
  arrangement: Arrangement,
  player: Player,
  width: number,
  measure: Measure,
): readonly Block[] {
  const { song } = arrangement;
  const breaks = part.order.filter(
    ({ passId }) => song.passes.find(({ id }) => id === passId)?.roles[player.id] === 'break',
  );
  const numbers = breaks.map(({ passId, name }) => {
    const at = part.order.findIndex((row) => row.passId === passId);
    return `${name} (number ${at + 1})`;
  });
  const said = breaks.length === 0 ? [] : [`You take the break: ${numbers.join(', ')}.`];
  if (player.id === NEWCOMER)
    said.push('Back up throughout; leave the spaces to the others, unless somebody nods to you.');
  const blocks = said.map((text) => textBlock(paragraph(text, 12), width, measure, 8, TURN_COSTS.line));
  return player.id === NEWCOMER ? blocks : [...blocks, ...ownBlocks(part, arrangement, width, measure)];
}
