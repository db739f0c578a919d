'use client';

import { useEffect, useMemo, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { SongPage } from '../../lib/protocol';
import { DEFAULT_TEMPO, type Pass, type Song } from '../../lib/song';
import {
  type LaidLine,
  laidAsWritten,
  paced,
  type StressOf,
  sheetOf,
  type Tap,
  type TapReading,
} from '../../lib/taps';
import { beatsPerBar } from '../../lib/time';
import { useBand } from '../hooks/useBand';
import { useSong } from '../hooks/useSong';
import { ActionLink, Button } from '../ui/Button';
import { Foot } from '../ui/Foot';
import { ProblemNotice } from '../ui/Notice';
import { Status } from '../ui/Status';
import { ChooseTaps, type TapChoice } from './ChooseTaps';
import type { Loudness } from './clicks';
import {
  areChordsGuessed,
  changeOf,
  followersOf,
  isOver,
  onsetsBefore,
  readTaps,
  tappablesOf,
} from './guess';
import { MendGuess } from './MendGuess';
import { type Run, runFrom } from './run';
import { SingAlong } from './SingAlong';
import { atTheEnd, doubled, leftOver, type Pickup, pickupFor } from './section-bars';
import { evenStress, stressIn } from './stress';
import { TempoTap } from './TempoTap';
import '../board/board.css';
import './tap.css';

/** What the page does now. Nothing of it is in the document before it is accepted. */
type Phase =
  /** After a pass was taken: what was done, and which pass it was. */
  | { readonly kind: 'choose'; readonly done: string | null; readonly taken?: Pass }
  | { readonly kind: 'tempo' }
  | { readonly kind: 'run'; readonly run: Run; readonly before: readonly LaidLine[] }
  | {
      readonly kind: 'mend';
      readonly lines: readonly LaidLine[];
      readonly reading: TapReading | null;
      /** Quarter notes a minute that are kept with the guess; null: the song's stay. */
      readonly tempo: number | null;
    };

/** The song tapped in, a pass at a time: chosen, sung with a key held, shown as a guess, mended and taken. */
export function TapPage({ songId, initial }: { readonly songId: string; readonly initial: SongPage }) {
  const bandId = initial.band.id;
  const { band } = useBand({ bandId, initial: initial.band, you: initial.you });
  const me = band.players.find((player) => player.id === initial.you.playerId) ?? null;
  const { song, edits, status, nextUndo } = useSong({
    bandId,
    songId,
    initial: initial.song,
    you: initial.you,
    me,
  });
  const stressOf = useStress(song);
  const note = useRef<HTMLParagraphElement>(null);
  const begin = useRef<HTMLButtonElement>(null);
  const [choice, setChoice] = useState<TapChoice>({
    at: 0,
    by: 'lines',
    beat: 'all along',
    loudness: 'quiet',
  });
  const [phase, setPhase] = useState<Phase>({ kind: 'choose', done: null });
  const [problem, setProblem] = useState<Problem | null>(null);
  const tappables = useMemo(() => tappablesOf(song), [song]);
  const tappable = tappables[choice.at] ?? tappables[0];
  const sheet = useMemo(
    () => (tappable ? sheetOf(song, tappable.pass, stressOf) : null),
    [song, tappable, stressOf],
  );
  const others = useMemo(() => (sheet ? onsetsBefore(song, sheet) : new Set<number>()), [song, sheet]);

  // What was mended or tapped goes away: who works by keyboard, or listens, is told what became of it, or finds the way to begin, and goes on from there.
  const isChoosing = phase.kind === 'choose';
  const done = isChoosing ? phase.done : null;
  const hasLeft = useRef(false);
  useEffect(() => {
    if (!isChoosing) hasLeft.current = true;
    else if (done) note.current?.focus();
    else if (hasLeft.current) begin.current?.focus();
  }, [isChoosing, done]);

  const start = (fromLine: number, before: readonly LaidLine[]) => {
    if (!sheet) return;
    setProblem(null);
    const run = runFrom(
      sheet,
      before,
      fromLine,
      song.tempo ?? DEFAULT_TEMPO,
      performance.now(),
      choice.beat === 'all along',
    );
    setPhase({ kind: 'run', run, before });
  };
  const end = (run: Run, before: readonly LaidLine[], taps: readonly Tap[]) => {
    if (!sheet) return;
    if (taps.length === 0) return setPhase({ kind: 'choose', done: null });
    const read = readTaps(sheet, before, run, taps, {
      ...choice,
      swing: song.feel.ratio,
      isLive: false,
      isOver: isOver(song, sheet, run, choice.by, taps),
      others,
    });
    if (!read.ok) {
      setProblem(read.error);
      return setPhase({ kind: 'choose', done: null });
    }
    const found = song.tempo === null && choice.beat === 'none';
    const tempo = found ? read.value.reading.clock.quartersPerMinute : null;
    setPhase({ kind: 'mend', ...read.value, tempo });
  };
  /** The guess stays as it is: its places are counted from the pass's start. */
  const putIn = (bars: ReturnType<typeof doubled>) => {
    if (!edits || !sheet) return;
    const done = edits.insertBars(sheet.pass.sectionId, bars);
    setProblem(done.ok ? null : done.error);
  };
  const accept = (taken: Phase & { kind: 'mend' }, takeAlong: boolean, withChords: boolean) => {
    if (!sheet || !tappable || !edits) return;
    const followers = takeAlong ? followersOf(song, sheet) : [];
    const change = changeOf(song, sheet, taken.lines, followers, withChords, stressOf);
    const { sectionId } = sheet.pass;
    const known = areChordsGuessed(song, sheet) ? { chordsKnownIn: sectionId } : {};
    const done = edits.putSung('a tapped pass', { ...change, ...known });
    if (!done.ok) return setProblem(done.error);
    if (taken.tempo !== null) edits.setTempo(Math.round(taken.tempo * 10) / 10);
    setProblem(null);
    const next = Math.min(choice.at + 1, tappables.length - 1);
    setChoice({ ...choice, at: next });
    setPhase({
      kind: 'choose',
      done: `${tappable.name} is on the board as you sang it.`,
      taken: tappable.pass,
    });
  };
  /** Puts a pickup in; the guess is counted from its start then. */
  const pickUp = (guess: Phase & { kind: 'mend' }, { bar, shortened }: Pickup) => {
    if (!edits || !sheet) return;
    const done = edits.putPickup(sheet.pass.sectionId, bar, shortened);
    setProblem(done.ok ? null : done.error);
    if (!done.ok) return;
    const lines = guess.lines.map((line) => ({
      ...line,
      syllables: line.syllables.map((one) => ({ ...one, tick: one.tick + bar.ticks })),
    }));
    setPhase({ ...guess, lines });
  };
  const pace = (guess: Phase & { kind: 'mend' }, factor: 2 | 0.5) => {
    if (!sheet) return;
    const first = sheet.bars[0];
    const lines = paced(guess.lines, factor, first?.pickup ? first.endTick : 0);
    if (lines === guess.lines) return;
    const tempo = guess.tempo ?? guess.reading?.clock.quartersPerMinute ?? null;
    setPhase({ ...guess, lines, tempo: tempo && tempo * factor });
  };
  const pickup = sheet && phase.kind === 'mend' ? pickupFor(song, sheet, phase.lines) : null;
  const takenSheet = phase.kind === 'choose' && phase.taken ? sheetOf(song, phase.taken, stressOf) : null;
  const spare = takenSheet ? leftOver(song, takenSheet) : [];
  return (
    <>
      <main id="text" className="board tap">
        <nav aria-label="Where you are" className="flex flex-wrap items-center gap-x-4">
          <ActionLink href={`/band/${bandId}/song/${songId}`} shortcut="u">
            {song.title}
          </ActionLink>
          <span className="grow" />
          <Status status={status} />
        </nav>
        <h1 className="board-title">Tap the song in</h1>
        {problem && <ProblemNotice problem={problem} kept="Nothing on the board has changed." />}
        {!edits && (
          <p className="aside">
            {status.loaded ? 'Only players of the band can tap a song in.' : 'The song is being opened.'}
          </p>
        )}
        {edits && (!sheet || !tappable) && (
          <p className="py-4">
            This song has no words with bars under them yet; bring it in with its words first.
          </p>
        )}
        {edits && sheet && tappable && phase.kind === 'choose' && (
          <>
            {phase.done && (
              <p role="status" className="py-2 outline-none" ref={note} tabIndex={-1}>
                {phase.done}{' '}
                {nextUndo && (
                  <Button shortcut="mod+z" onPress={() => edits.undo()}>
                    Undo: {nextUndo}
                  </Button>
                )}
                {spare.length > 0 && (
                  <Button shortcut="k" onPress={() => edits.removeBars(spare)}>
                    {`${spare.length === 1 ? 'The last bar is' : `The last ${spare.length} bars are`} left over: take ${spare.length === 1 ? 'it' : 'them'} out`}
                  </Button>
                )}
              </p>
            )}
            <ChooseTaps
              song={song}
              sheet={sheet}
              begin={begin}
              tappables={tappables}
              choice={choice}
              choose={setChoice}
              start={() => start(0, laidAsWritten(sheet))}
              mend={() => setPhase({ kind: 'mend', lines: laidAsWritten(sheet), reading: null, tempo: null })}
              tapTempo={() => setPhase({ kind: 'tempo' })}
              double={() => putIn(doubled(song, sheet))}
            />
          </>
        )}
        {edits && sheet && phase.kind === 'tempo' && (
          <TempoTap
            meter={sheet.bars[0]?.meter ?? { count: 4, unit: 4 }}
            keep={({ tempo, range }) => {
              const done = edits.setTappedTempo(tempo, range);
              setProblem(done.ok ? null : done.error);
              setPhase({ kind: 'choose', done: done.ok ? 'The tempo is kept, with how far it ran.' : null });
            }}
            close={() => setPhase({ kind: 'choose', done: null })}
          />
        )}
        {sheet && phase.kind === 'run' && (
          <SingAlong
            key={phase.run.clock.zeroSeconds}
            song={song}
            sheet={sheet}
            run={phase.run}
            before={phase.before}
            by={choice.by}
            loudness={loudnessOf(choice.beat, choice.loudness)}
            showsBeat={choice.beat !== 'none'}
            perBar={beatsPerBar(sheet.bars[0]?.meter ?? { count: 4, unit: 4 })}
            read={(taps) =>
              readTaps(sheet, phase.before, phase.run, taps, {
                ...choice,
                swing: song.feel.ratio,
                isLive: true,
                isOver: false,
                others,
              })
            }
            end={(taps) => end(phase.run, phase.before, taps)}
          />
        )}
        {edits && sheet && tappable && phase.kind === 'mend' && (
          <MendGuess
            song={song}
            sheet={sheet}
            name={tappable.name}
            lines={phase.lines}
            reading={phase.reading}
            change={(lines) => setPhase({ ...phase, lines })}
            again={(line) => start(line, phase.lines)}
            followers={followersOf(song, sheet)}
            accept={(takeAlong, withChords) => accept(phase, takeAlong, withChords)}
            pickUp={pickup && (() => pickUp(phase, pickup))}
            pace={phase.reading && ((factor) => pace(phase, factor))}
            double={() => putIn(doubled(song, sheet))}
            lengthen={() => putIn(atTheEnd(song, sheet, phase.lines))}
            discard={() => setPhase({ kind: 'choose', done: null })}
          />
        )}
      </main>
      <Foot />
    </>
  );
}

const loudnessOf = (beat: TapChoice['beat'], loudness: Loudness): Loudness =>
  beat === 'none' ? 'off' : loudness;

/** How much weight the words have, once their reader is here; it is asked once for a song. */
function useStress(song: Song): StressOf {
  const [stressOf, setStressOf] = useState<StressOf>(() => evenStress);
  const hasWords = song.notes.length > 0;
  // biome-ignore lint/correctness/useExhaustiveDependencies: the words' tongue does not change with an edit
  useEffect(() => {
    let isOver = false;
    if (hasWords)
      stressIn(song).then((found) => {
        if (!isOver) setStressOf(() => found);
      });
    return () => {
      isOver = true;
    };
  }, [hasWords, song.id]);
  return stressOf;
}
