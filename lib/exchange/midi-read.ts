import { fail, itemAt, ok, type Result } from '../base';
import { beatTicks, TICKS_PER_QUARTER, type Ticks } from '../time';
import { alignVoices } from './abc-align';
import type { ReadOptions, SongRead } from './abc-read';
import { buildSong } from './abc-song';
import type { RawNote } from './abc-types';
import { barsOf, guessKey, type MidiBar, MOST_BARS } from './midi-bars';
import { type Gridded, type GridNote, layOnGrid } from './midi-grid';
import { type Candidate, candidatesOf } from './midi-melody';
import { type MidiFile, parseMidi } from './midi-parse';
import { type SungSyllable, wordsOf } from './midi-words';
import { Findings } from './report';
import { reportSong } from './report-song';

export interface MidiOptions extends ReadOptions {
  /** Which of the voices that `listMidiVoices` lists is the melody, from 1; without it, the one that has most to speak for it. */
  readonly melody?: number | undefined;
}

/** A voice of a MIDI file that could be the melody. */
export interface MidiVoiceListed {
  readonly called: string;
  readonly notes: number;
  /** The one that is taken where nobody chooses. */
  readonly chosen: boolean;
}

/** The voices of a MIDI file that could be the melody, as the file has them; drums are none. */
export function listMidiVoices(bytes: Uint8Array): Result<readonly MidiVoiceListed[]> {
  const file = parseMidi(bytes);
  if (!file.ok) return file;
  const candidates = candidatesOf(file.value, wordsOf(file.value));
  const chosen = best(candidates);
  return ok(
    candidates.map((each) => ({
      called: each.called,
      notes: each.voice.notes.length,
      chosen: each === chosen,
    })),
  );
}

/**
 * Reads the melody of a standard MIDI file (format 0 or 1) into a song, written out as it is played: one voice, chosen by the words that fall
 * on its notes, else its name, else its being singable; notes laid on beats (see `layOnGrid`), lyrics or karaoke texts on them; bars by the
 * file's meters, with its tempos and keys; sections at its markers. MIDI holds no chord symbols.
 *
 * @returns a problem where it is no such file, has no notes but drums, or is beyond its limits
 */
export function readMidi(bytes: Uint8Array, options: MidiOptions): Result<SongRead> {
  const parsed = parseMidi(bytes);
  if (!parsed.ok) return parsed;
  const file = parsed.value;
  const words = wordsOf(file);
  const candidates = candidatesOf(file, words);
  if (candidates.length === 0)
    return fail(
      file.voices.length > 0 ? 'this MIDI file holds drums alone' : 'this MIDI file holds no notes',
      'the whole file',
      'choose a file with the melody in a track of its own',
    );
  const { melody } = options;
  const chosen = melody === undefined ? best(candidates) : candidates[melody - 1];
  if (!chosen)
    return fail(
      `there is no voice ${melody}`,
      'the choice of the melody',
      `its voices are: ${candidates.map(({ called }, i) => `${i + 1} ${called}`).join('; ')}`,
    );
  const gridded = layOnGrid(chosen.voice.notes, file.ticksPerQuarter);
  const end = gridded.notes.reduce((most, note) => Math.max(most, note.tick + note.ticks), 1);
  const { bars, cut } = barsOf(file, end);
  if (bars.length > MOST_BARS)
    return fail(`the melody lasts more than ${MOST_BARS} bars`, chosen.called, 'check that it is one song');
  const findings = new Findings('', (tick) => placeOf(tick, bars));
  reportChoice(candidates, chosen, melody !== undefined, findings);
  layNotes(gridded.notes, bars);
  const lost = layWords(words.syllables, bars, file, findings);
  const key = file.keys.length > 0 ? (bars.find((bar) => bar.key)?.key ?? null) : null;
  const taken = key ?? guessKey(gridded.notes);
  if (key === null) findings.guessed('no key is given; the one whose scale holds most of the tune was taken');
  const first = bars[0];
  if (first) first.key ??= taken;
  const title = words.title ?? titleOf(file);
  const voices = [{ text: { id: 'melody', name: null }, bars }];
  const song = buildSong(
    {
      key: { key: taken, alterations: null, shift: null },
      tempo: file.tempos.length > 0 ? null : 120,
      order: null,
      swing: 1,
    },
    voices,
    alignVoices([{ id: 'melody', bars }], findings),
    (title ?? options.title).slice(0, 200),
    options.makeId,
    findings,
  );
  reportFile(file, gridded, cut, findings);
  reportSong(song, findings);
  if (lost > 0)
    findings.warn(
      `${lost} syllables fall on no note of the melody; another track may be the one that is sung`,
    );
  if (title === null) findings.guessed(`no title is given; "${song.title}" was taken`);
  return ok({ song, report: findings.report() });
}

const best = (candidates: readonly Candidate[]): Candidate | undefined =>
  candidates.reduce<Candidate | undefined>(
    (most, each) => (most && most.points >= each.points ? most : each),
    undefined,
  );

/** A file's first track is often named as the song; a name that says a program's default or an instrument is none. */
function titleOf(file: MidiFile): string | null {
  const name = file.names.get(1) ?? null;
  const plays = file.voices.some(({ track }) => track === 1) && file.voices.some(({ track }) => track !== 1);
  return name === null ||
    plays ||
    /^(?:untitled|track|midi|tempo|conductor|control|staff|voice|vocals?|melody|lead|piano|words|soft karaoke)\b/i.test(
      name,
    )
    ? null
    : name;
}

function placeOf(tick: Ticks, bars: readonly MidiBar[]): string {
  let low = 0;
  let high = bars.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (itemAt(bars, middle).from <= tick) low = middle + 1;
    else high = middle;
  }
  const bar = bars[low - 1];
  if (!bar) return 'bar 1';
  const beat = bar.meter === 'free' ? TICKS_PER_QUARTER : beatTicks(bar.meter);
  return `bar ${low}, beat ${Math.floor(Math.max(0, tick - bar.from) / beat) + 1}`;
}

function layNotes(notes: readonly GridNote[], bars: readonly MidiBar[]): void {
  let b = 0;
  for (const note of notes) {
    while (b + 1 < bars.length && itemAt(bars, b + 1).from <= note.tick) b += 1;
    const bar = itemAt(bars, b);
    const raw: RawNote = {
      at: note.played,
      bar: b,
      offset: note.tick - bar.from,
      ticks: note.ticks,
      midi: note.pitch,
      tied: false,
      fermata: false,
      breath: false,
      syllables: [],
    };
    bar.notes.push(raw);
  }
}

/** Puts each syllable on the note that begins nearest to it, within a quarter of a beat; how many found none. */
function layWords(
  syllables: readonly SungSyllable[],
  bars: readonly MidiBar[],
  file: MidiFile,
  findings: Findings,
): number {
  const notes = bars.flatMap((bar) => bar.notes);
  const scale = TICKS_PER_QUARTER / file.ticksPerQuarter;
  let i = 0;
  let lost = 0;
  for (const { tick, ...syllable } of syllables) {
    const at = tick * scale;
    while (
      i + 1 < notes.length &&
      Math.abs(itemAt(notes, i + 1).at - at) <= Math.abs(itemAt(notes, i).at - at)
    )
      i += 1;
    const note = notes[i];
    if (!note || Math.abs(note.at - at) > 240) {
      lost += 1;
      findings.leftOutEach(
        `a syllable that falls on no note: "${syllable.text}"`,
        (n) => `"${syllable.text}" on no note, ${n} times`,
        at,
      );
      continue;
    }
    const there = note.syllables[0];
    note.syllables[0] = there
      ? { ...syllable, text: `${there.text}${there.joins ? '' : ' '}${syllable.text}`.slice(0, 200) }
      : syllable;
  }
  return lost;
}

function reportChoice(
  candidates: readonly Candidate[],
  chosen: Candidate,
  asked: boolean,
  findings: Findings,
): void {
  if (candidates.length === 1) return;
  if (!asked) findings.guessed(`the melody is taken from ${chosen.called}: ${chosen.why}`);
  for (const each of candidates)
    if (each !== chosen)
      findings.leftOut(`${each.called}, which is not the melody (${each.voice.notes.length} notes)`, 0);
}

function reportFile(
  file: MidiFile,
  { notes, moved, mean, most, lower }: Gridded,
  cut: number,
  findings: Findings,
): void {
  for (const fault of file.faults) findings.warn(fault);
  const drums = file.voices.filter(({ channel }) => channel === 10).length;
  if (drums > 0) findings.leftOut('drums (channel 10)', 0);
  if (lower > 0)
    findings.leftOut(`${lower} lower ${lower === 1 ? 'note' : 'notes'} of chords`, notes[0]?.tick ?? 0);
  if (moved > 0)
    findings.guessed(
      `${moved} of ${notes.length} notes were moved to the nearest sixteenth (or third of a beat, or finer where they stand closer), by ${share(mean)} of a beat on average and ${share(most)} at most; ends likewise`,
    );
  if (mean > 70)
    findings.warn('the notes do not lie on the beats of the file; it may have been played without its tempo');
  if (file.tempos.length === 0)
    findings.guessed("no tempo is given; MIDI's own, 120 quarter notes a minute, was taken");
  if (file.meters.length === 0) findings.guessed('no meter is given; 4/4 was taken');
  if (cut > 0)
    findings.warn(`${cut} ${cut === 1 ? 'bar is' : 'bars are'} cut short by a change of meter within`);
}

const share = (ticks: number): string => (ticks / TICKS_PER_QUARTER).toFixed(2);
