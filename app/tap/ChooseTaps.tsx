'use client';

import type { Ref } from 'react';
import { tempoInSigns } from '../../lib/parts';
import { DEFAULT_TEMPO, type Song } from '../../lib/song';
import type { TapSheet } from '../../lib/taps';
import { Button } from '../ui/Button';
import { Choice } from '../ui/Field';
import type { Loudness } from './clicks';
import type { BeatUse, TapBy, Tappable } from './guess';

export interface TapChoice {
  /** Which of the passes that can be tapped. */
  readonly at: number;
  readonly by: TapBy;
  readonly beat: BeatUse;
  readonly loudness: Loudness;
}

/** What is to be tapped, and how; and the way to begin. */
export function ChooseTaps({
  song,
  sheet,
  begin,
  tappables,
  choice,
  choose,
  start,
  mend,
  tapTempo,
  double,
}: {
  readonly song: Song;
  readonly sheet: TapSheet;
  /** The way to begin, which has the focus after something was left. */
  readonly begin: Ref<HTMLButtonElement>;
  readonly tappables: readonly Tappable[];
  readonly choice: TapChoice;
  readonly choose: (choice: TapChoice) => void;
  readonly start: () => void;
  readonly mend: () => void;
  readonly tapTempo: () => void;
  /** Every bar of the section once more after itself. */
  readonly double: () => void;
}) {
  const meter = sheet.bars.find((bar) => !bar.pickup)?.meter;
  const at = String(Math.min(choice.at, tappables.length - 1));
  const range = song.tempoRange;
  return (
    <>
      <p className="max-w-prose">
        A bar is counted; then sing, and hold Space, Enter or the field for as long as each{' '}
        {choice.by === 'lines' ? 'line' : 'syllable'} is sung. What you tapped is shown as a guess: nothing on
        the board changes before you take it.
      </p>
      <p className="plain">
        {song.tempo === null
          ? `No tempo is said: the beat goes at ${tempoInSigns(DEFAULT_TEMPO, meter)}.`
          : `The beat goes at ${tempoInSigns(song.tempo, meter)}${range ? `, tapped between ${Math.round(range.low)} and ${Math.round(range.high)} on ${new Date(range.at).toLocaleDateString()}` : ''}.`}{' '}
        <Button shortcut="t" onPress={tapTempo}>
          Tap the tempo
        </Button>
      </p>
      <Choice
        label="What you sing"
        value={at}
        options={tappables.map(({ name }, i) => ({ value: String(i), text: name }))}
        onChange={(value) => choose({ ...choice, at: Number(value) })}
      />
      <ol className="tap-lines">
        {sheet.lines.map((line) => (
          <li key={line.syllables[0]?.noteId}>{wordsOf(line.syllables)}</li>
        ))}
      </ol>
      <p className="plain">
        {sheet.bars.length} bars.{' '}
        <Button shortcut="x" onPress={double}>
          Sung over twice as many: put them in
        </Button>
      </p>
      <Choice<TapBy>
        label="One hold for"
        value={choice.by}
        options={[
          { value: 'lines', text: 'each line' },
          { value: 'syllables', text: 'each syllable' },
        ]}
        onChange={(by) => choose({ ...choice, by })}
      />
      <div className="my-4 flex flex-wrap items-center gap-x-6">
        <Button look="main" shortcut="s" onPress={start} ref={begin}>
          Count me in
        </Button>
        <Button shortcut="m" onPress={mend}>
          Mend it without tapping
        </Button>
      </div>
      <details className="tap-more">
        <summary className="plain min-h-(--touch) py-2">What you hear and see of the beat</summary>
        <Choice<BeatUse>
          label="The beat"
          value={choice.beat}
          options={[
            { value: 'all along', text: 'all along' },
            { value: 'count-in', text: 'count-in alone' },
            { value: 'none', text: 'none: find the tempo from my taps' },
          ]}
          onChange={(beat) => choose({ ...choice, beat })}
        />
        <Choice<Loudness>
          label="Clicks"
          value={choice.loudness}
          options={[
            { value: 'off', text: 'seen, not heard' },
            { value: 'quiet', text: 'quiet' },
            { value: 'louder', text: 'louder' },
          ]}
          onChange={(loudness) => choose({ ...choice, loudness })}
          hint="With headphones, start quiet: set the volume low before the first click, and turn it up from there."
        />
      </details>
    </>
  );
}

/** Syllables as words. */
export const wordsOf = (syllables: readonly { readonly text: string; readonly joins: boolean }[]): string =>
  syllables
    .map(({ text, joins }) => (joins ? text : `${text} `))
    .join('')
    .trim();
