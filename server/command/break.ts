import type { z } from 'zod';
import { fail, ok, type Result } from '../../lib/base';
import type { SongRead } from '../../lib/exchange';
import { breakFor, breakInWords } from '../../lib/fills';
import type { Setup } from '../../lib/instruments';
import { type Timeline, writtenTimeline } from '../../lib/song';
import { reasonAnswer } from './free';
import { noteAnswer } from './offers';
import type { BREAK_OPTIONS } from './options';
import { rounded, type Told } from './output';
import { voiceAsked } from './spaces';
import { textTab } from './text-tab';

type Options = z.infer<typeof BREAK_OPTIONS>;

/** `break`: the tune as one player plays it alone, for the song as written or one of its sections. */
export function tellBreak(file: string, read: SongRead, options: Options, setup: Setup): Result<Told> {
  const { song } = read;
  const timeline = writtenTimeline(song);
  const voice = voiceAsked(song, options.voice);
  if (!voice.ok) return voice;
  const stretch = stretchOf(timeline, options.section);
  if (!stretch.ok) return stretch;
  const found = breakFor({
    timeline,
    ...stretch.value,
    setup,
    rule: options.rule,
    spanMillimetres: null,
    comfortEighthsPerMinute: null,
    voiceId: voice.value?.id ?? null,
    plain: options.plain,
  });
  if (!found.ok) return found;
  const { family, title, notes, pickup, tune, difficulty, unusual, reasons, chordsWorkedOut } = found.value;
  const from = pickup?.notes[0]?.tick ?? stretch.value.startTick;
  const bars = timeline.bars.filter((bar) => bar.startTick < stretch.value.endTick && bar.endTick > from);
  return ok({
    answer: {
      file,
      family,
      title,
      notes: notes.map((note) => noteAnswer(note, setup)),
      pickup: pickup && { kind: pickup.kind, notes: pickup.notes.map((note) => noteAnswer(note, setup)) },
      tune: tune.map(({ tick, midi, octaves, playedTick, licence }) => ({
        tick,
        midi,
        octaves,
        playedTick,
        licence,
      })),
      difficulty: { ...difficulty, terms: difficulty.terms.map(reasonAnswer) },
      unusual,
      chordsWorkedOut,
      sentence: breakInWords(found.value),
      reasons: reasons.map((each) => ({ ...reasonAnswer(each), weight: rounded(each.weight, 3) })),
    },
    text: [
      `${song.title} (${file})`,
      `  ${breakInWords(found.value)} ${difficulty.number} of 10${listedTerms(difficulty.terms)}.`,
      ...textTab(bars, [...(pickup?.notes ?? []), ...notes], setup),
    ].join('\n'),
  });
}

const listedTerms = (terms: readonly { readonly detail: string }[]) =>
  terms.length === 0 ? '' : `, for ${terms.map(({ detail }) => detail).join('; ')}`;

function stretchOf(
  timeline: Timeline,
  asked: string | undefined,
): Result<{ readonly startTick: number; readonly endTick: number }> {
  if (asked === undefined) return ok({ startTick: 0, endTick: timeline.endTick });
  const { passes } = timeline;
  const pass = passes[Number(asked) - 1] ?? passes.find(({ section }) => sameName(section.name, asked));
  if (pass) return ok({ startTick: pass.startTick, endTick: pass.endTick });
  const names = passes.map(({ section }, i) => `${i + 1} (${section.name})`).join(', ');
  return fail(`there is no section '${asked}'`, '--section', `its sections are: ${names || 'none'}`);
}

const sameName = (a: string, b: string) => a.trim().toLowerCase() === b.trim().toLowerCase();
