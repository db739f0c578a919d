'use client';

import { useEffect, useMemo, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { SongPage } from '../../lib/protocol';
import { DEFAULT_TEMPO, type Song } from '../../lib/song';
import {
  type LaidLine,
  laidAsWritten,
  type StressOf,
  sheetOf,
  type Tap,
  type TapReading,
  type TapSheet,
} from '../../lib/taps';
import { beatsPerBar, TICKS_PER_QUARTER } from '../../lib/time';
import { useBand } from '../hooks/useBand';
import { useSong } from '../hooks/useSong';
import { ActionLink, Button } from '../ui/Button';
import { Foot } from '../ui/Foot';
import { ProblemNotice } from '../ui/Notice';
import { Status } from '../ui/Status';
import { ChooseTaps, type TapChoice } from './ChooseTaps';
import type { Loudness } from './clicks';
import { atTheEnd, changeOf, doubled, followersOf, onsetsBefore, readTaps, tappablesOf } from './guess';
import { MendGuess } from './MendGuess';
import { type Run, runFrom } from './run';
import { SingAlong } from './SingAlong';
import { evenStress, stressIn } from './stress';
import { TempoTap } from './TempoTap';
import '../board/board.css';
import './tap.css';

/** What the page does now. Nothing of it is in the document before it is accepted. */
type Phase =
  | { readonly kind: 'choose'; readonly done: string | null }
  | { readonly kind: 'tempo' }
  | { readonly kind: 'run'; readonly run: Run; readonly before: readonly LaidLine[] }
  | { readonly kind: 'mend'; readonly lines: readonly LaidLine[]; readonly reading: TapReading | null };

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

  // What was mended goes away: who works by keyboard, or listens, is told what became of it and goes on from there.
  const done = phase.kind === 'choose' ? phase.done : null;
  useEffect(() => {
    if (done) note.current?.focus();
  }, [done]);

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
      isOver: isOver(sheet, run),
      others,
    });
    if (!read.ok) {
      setProblem(read.error);
      return setPhase({ kind: 'choose', done: null });
    }
    setPhase({ kind: 'mend', ...read.value });
  };
  /** The guess stays as it is: its places are counted from the pass's start. */
  const putIn = (bars: ReturnType<typeof doubled>) => {
    if (!edits || !sheet) return;
    const done = edits.insertBars(sheet.pass.sectionId, bars);
    setProblem(done.ok ? null : done.error);
  };
  const accept = (lines: readonly LaidLine[], reading: TapReading | null, takeAlong: boolean) => {
    if (!sheet || !tappable || !edits) return;
    const followers = takeAlong ? followersOf(song, sheet) : [];
    const done = edits.putSung('a tapped pass', changeOf(song, sheet, lines, followers, stressOf));
    if (!done.ok) return setProblem(done.error);
    if (song.tempo === null && choice.beat === 'none' && reading)
      edits.setTempo(Math.round(reading.clock.quartersPerMinute * 10) / 10);
    setProblem(null);
    const next = Math.min(choice.at + 1, tappables.length - 1);
    setChoice({ ...choice, at: next });
    setPhase({ kind: 'choose', done: `${tappable.name} is on the board as you sang it.` });
  };
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
        {!edits && <p className="aside">Only players of the band can tap a song in, once it has loaded.</p>}
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
              </p>
            )}
            <ChooseTaps
              song={song}
              sheet={sheet}
              tappables={tappables}
              choice={choice}
              choose={setChoice}
              start={() => start(0, laidAsWritten(sheet))}
              mend={() => setPhase({ kind: 'mend', lines: laidAsWritten(sheet), reading: null })}
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
            accept={(takeAlong) => accept(phase.lines, phase.reading, takeAlong)}
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

/** Whether the last line's time has come: who stops before has not missed it. */
function isOver(sheet: TapSheet, { clock }: Run): boolean {
  const last = sheet.lines[sheet.lines.length - 1]?.syllables[0]?.tick ?? 0;
  const ticks =
    (performance.now() / 1000 - clock.zeroSeconds) * (clock.quartersPerMinute / 60) * TICKS_PER_QUARTER;
  return ticks > last + TICKS_PER_QUARTER;
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
