import type { Standing } from '../../plan';
import { DEFAULT_TEMPO, type FillNote, type Player, settingOf } from '../../song';
import { meterName } from '../../time';
import { type Arrangement, cuesOf } from '../arrangement';
import { feelInWords, shapesInWords, tempoInSigns } from '../sentences';
import { simplestOf } from '../simplest';
import { paragraph, textBlock } from './head';
import { heightOn, roomOn, sheetsFrom } from './paged';
import { gridOf, versionBlocks } from './practice-rows';
import type { Block, Measure, Paper, Sheet } from './types';

export interface StudentRequest {
  readonly arrangement: Arrangement;
  /** The fill or break, with its notes. */
  readonly standing: Standing;
  /** Whose it is: the instrument, its setup and the way to stroke are theirs. */
  readonly player: Player;
  readonly paper: Paper;
  readonly asOf: string;
  readonly measure: Measure;
  /** What a reader has to know of the print itself, a sentence each. */
  readonly notes?: readonly string[];
}

/**
 * Shares of the song's tempo to practise at, one after another: begin at half, and go on to the next when it went well four times running.
 * Common practice, no source.
 */
export const PRACTICE_SHARES = [0.5, 0.6, 0.7, 0.8, 0.9, 1] as const;
const TIMES = 'four times running';
/** Slower than this, a pulse is no longer felt as one; quarter notes a minute. Common practice, no source. */
const SLOWEST = 40;

/**
 * One fill or break alone, for a student: as plain as it can be played, then as it is, with every stroke, the fingers and the count, and
 * the tempos to practise at. It names the song and nobody of the band, and leads nowhere.
 */
export function studentSheets(request: StudentRequest): readonly Sheet[] {
  const { arrangement, paper, asOf, measure, standing, player } = request;
  const width = roomOn(paper);
  const { timeline } = arrangement;
  const simplest = simplestOf(standing, timeline, player);
  const inOrder = [...(simplest ?? []), ...standing.notes].sort((a, b) => a.tick - b.tick);
  const grid = gridOf(inOrder, timeline, width);
  const version = (title: string, notes: readonly FillNote[]) => [
    versionHeading(title, notes.length, width, measure),
    ...versionBlocks(notes, grid, { timeline, player }),
  ];
  const blocks: Block[] = [
    ...headOf(request, width),
    ...(simplest === null ? [] : version('First, as plain as it can be played', simplest)),
    ...version(
      simplest === null ? 'As it is played: it is as plain as can be' : 'Then, as it is played',
      standing.notes,
    ),
  ];
  // What goes on one page smaller is not turned in the middle.
  const height = blocks.reduce((sum, block) => sum + block.height, 0);
  const scale = height > heightOn(paper) && height * 0.85 <= heightOn(paper) ? heightOn(paper) / height : 1;
  return sheetsFrom(blocks, {
    paper,
    measure,
    scale: Math.min(1, scale),
    foot: {
      left: `${arrangement.song.title} · to practise`,
      middle: `as of ${asOf}`,
      right: (page, pages) => `page ${page} of ${pages}`,
    },
  });
}

/** The tempos to practise at, in quarter notes a minute: shares of the song's, none slower than can be felt as a pulse, none twice. */
export function practiceTempos(tempo: number): readonly number[] {
  const steps = PRACTICE_SHARES.map((share) => Math.min(tempo, Math.max(SLOWEST, Math.round(tempo * share))));
  return steps.filter((one, i) => one !== steps[i - 1]);
}

function headOf(
  { arrangement, standing, player, measure, notes = [] }: StudentRequest,
  width: number,
): readonly Block[] {
  const { song, timeline } = arrangement;
  const setting = settingOf(song, player);
  const { space } = standing;
  const isBreak = space?.kind === 'instrumental';
  const first = standing.notes[0]?.tick ?? standing.startTick;
  const { meter } = timeline.barAt(first).bar;
  const signs = (tempo: number) => tempoInSigns(tempo, meter);
  const tempo = song.tempo ?? DEFAULT_TEMPO;
  const cue = space === null || isBreak ? '' : cuesOf(arrangement, space).before;
  const block = (text: string, before = 0) => textBlock(paragraph(text, 12), width, measure, before);
  const title = `${isBreak ? 'A break' : 'A fill'} from “${song.title}”`;
  const tuning = setting.tuning === 'standard' ? '' : `, ${setting.tuning}`;
  return [
    textBlock(paragraph('', 22, { runs: [{ text: title, face: 'words' }], leading: 1.15 }), width, measure),
    textBlock(
      paragraph('', 12, { runs: [{ text: `${setting.instrument}${tuning}`, face: 'strong' }] }),
      width,
      measure,
      3,
    ),
    block(
      [shapesInWords(song.key, setting), meterName(meter), signs(tempo), feelInWords(song.feel.ratio)].join(
        ' · ',
      ) + (song.tempo === null ? ' (nobody has said how fast: taken as usual)' : ''),
    ),
    ...(cue === '' ? [] : [block(`It comes after “${cue}”.`)]),
    block(
      `To practise: ${practiceTempos(tempo).map(signs).map(afterFirst).join(', ')}. Begin slow; go on to the next when it went well ${TIMES}, and back to the one before when it did not.`,
      6,
    ),
    ...notes.map((note) => textBlock(paragraph(note, 10, { tone: 'quiet' }), width, measure, 2)),
  ];
}

/** Of several tempos only the first has the note before it: `♩ = 42, 50, 59`. */
const afterFirst = (tempo: string, i: number): string => (i === 0 ? tempo : tempo.replace(/^.*=\s/, ''));

function versionHeading(title: string, count: number, width: number, measure: Measure): Block {
  const runs = [
    { text: title, face: 'italic' },
    { text: `  ${count} ${count === 1 ? 'note' : 'notes'}`, face: 'plain' },
  ] as const;
  return textBlock(paragraph('', 14, { runs }), width, measure, 12);
}
