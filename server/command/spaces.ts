import type { z } from 'zod';
import { fail, ok, type Result } from '../../lib/base';
import { type SongRead, sayLeftOutPlace } from '../../lib/exchange';
import { DEFAULT_TEMPO, type Song, type Timeline, type Voice, writtenTimeline } from '../../lib/song';
import { DEFAULT_SPACE_OPTIONS, type Phrase, phrasesAndSpaces, type Space } from '../../lib/spaces';
import { keyName } from '../../lib/theory';
import { meterName } from '../../lib/time';
import type { SPACES_OPTIONS } from './options';
import { type Answer, plain, rounded, type Told, table } from './output';

type Options = z.infer<typeof SPACES_OPTIONS>;

/** `spaces`: phrases and spaces of one song as written. */
export function tellSpaces(file: string, read: SongRead, options: Options): Result<Told> {
  const chosen = chooseVoice(read.song, options.voice);
  if (!chosen.ok) return chosen;
  const song = chosen.value;
  const timeline = writtenTimeline(song);
  const { phrases, spaces } = phrasesAndSpaces(timeline, {
    ...DEFAULT_SPACE_OPTIONS,
    ignoreWords: options.ignoreWords,
    ...(options.minBeats === undefined ? {} : { minBeats: options.minBeats }),
  });
  const top = song.voices[0];
  const answer = {
    file,
    title: song.title,
    key: keyName(song.key),
    meter: meterOf(timeline),
    tempo: song.tempo ?? DEFAULT_TEMPO,
    bars: timeline.bars[timeline.bars.length - 1]?.number ?? 0,
    notes: top ? (timeline.notes.get(top.id)?.length ?? 0) : 0,
    phrases: phrases.map((phrase) => phraseAnswer(phrase, song)),
    spaces: spaces.map((space) => spaceAnswer(space, song)),
    warnings: warningsOf(read),
  };
  return ok({ answer, text: spacesText(answer, spaces) });
}

/** The song with one voice alone, by its name or its number from 1; the whole song where none is asked for. */
function chooseVoice(song: Song, asked: string | undefined): Result<Song> {
  const voice = voiceAsked(song, asked);
  if (!voice.ok) return voice;
  if (voice.value === null) return ok(song);
  const { id } = voice.value;
  return ok({ ...song, voices: [voice.value], notes: song.notes.filter((note) => note.voiceId === id) });
}

/** A voice by its name or its number from 1; null where none is asked for. */
export function voiceAsked(song: Song, asked: string | undefined): Result<Voice | null> {
  if (asked === undefined) return ok(null);
  const named = song.voices.find((voice) => voice.name.toLowerCase() === asked.toLowerCase());
  const numbered = /^\d+$/.test(asked) ? song.voices[Number(asked) - 1] : undefined;
  const voice = named ?? numbered;
  if (voice) return ok(voice);
  const names = song.voices.map((each, i) => `${i + 1} ${each.name}`).join(', ');
  return fail(`there is no voice '${asked}'`, song.title, `its voices are: ${names || 'none'}`);
}

/** The meter of the first full bar. */
function meterOf(timeline: Timeline): string | null {
  const first = timeline.bars.find((placed) => !placed.bar.pickup) ?? timeline.bars[0];
  return first ? meterName(first.bar.meter) : null;
}

function voiceName(song: Song, voiceId: string): string {
  return song.voices.find((voice) => voice.id === voiceId)?.name ?? voiceId;
}

function phraseAnswer(phrase: Phrase, song: Song): Answer {
  return {
    voice: voiceName(song, phrase.voiceId),
    firstNote: phrase.firstNote,
    lastNote: phrase.lastNote,
    startTick: phrase.startTick,
    endTick: phrase.endTick,
    words: phrase.words,
    why: phrase.why.map((reason) => ({ ...reason, weight: rounded(reason.weight, 3) })),
  };
}

function spaceAnswer(space: Space, song: Song): Answer {
  const { after } = space;
  return {
    id: space.id,
    startTick: space.startTick,
    endTick: space.endTick,
    beats: space.beats,
    seconds: rounded(space.seconds, 3),
    bar: space.bar,
    beat: space.beat,
    kind: space.kind,
    after: after ? { voice: voiceName(song, after.voiceId), note: after.index } : null,
    chords: chordsIn(space),
    guardTicks: space.guardTicks,
    tailTicks: space.tailTicks,
  };
}

/** The chords of a space, each from where it begins to hold in it. */
function chordsIn(space: Space): Answer[] {
  return space.chords.map((chord) => ({
    tick: Math.max(chord.startTick, space.startTick),
    symbol: chord.symbol,
  }));
}

/** What the reader guessed (a tempo, say), what should be looked at, and what was left out. */
function warningsOf({ report }: SongRead): string[] {
  return [
    ...report.guessed,
    ...report.warnings,
    ...report.leftOut.map((item) => `${sayLeftOutPlace(item)}: left out: ${item.what}`),
  ];
}

/** `spaces` for people. */
function spacesText(answer: Answer, spaces: readonly Space[]): string {
  const head = `${answer.title} (${answer.file})\n  ${answer.key}, ${answer.meter}, ${plain(Number(answer.tempo))} quarters a minute, ${answer.bars} bars`;
  if (spaces.length === 0) return `${head}\n  no spaces`;
  const rows = spaces.map((space) => [
    `  bar ${space.bar}, beat ${plain(space.beat)}`,
    `${plain(space.beats)} ${space.beats === 1 ? 'beat' : 'beats'}`,
    `${plain(space.seconds)} s`,
    space.kind,
    space.chords.map((chord) => chord.symbol).join(' '),
    space.id,
  ]);
  return [head, ...table(rows)].join('\n');
}
