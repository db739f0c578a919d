'use client';

import { lazy, memo, Suspense } from 'react';
import { ledIn, othersInWords } from '../../lib/parts';
import { untilItComes } from '../hooks/untilItComes';
import { barsOf, stanzasOf } from './facts';
import { BOARD_LINE, BREAK_LINE } from './geometry';
import type { WordsInUse } from './look';
import { PassMargin } from './PassMargin';
import { PassView } from './PassView';
import type { BoardPassProps } from './pass-props';
import { atOf } from './places';
import { standsStill } from './stands-still';
import { isReadable, sameName } from './symbols';
import type { WordsWay } from './useWords';

const BackupPanel = lazy(async () => ({
  default: (await untilItComes(() => import('./BackupPanel'))).BackupPanel,
}));
export const loadPanel = () => untilItComes(() => import('./WordsPanel'));
const LineTalk = lazy(async () => ({ default: (await untilItComes(() => import('./TalkPanel'))).LineTalk }));
const PassTalk = lazy(async () => ({ default: (await untilItComes(() => import('./TalkPanel'))).PassTalk }));
const WordsPanel = lazy(async () => ({ default: (await loadPanel()).WordsPanel }));

/** A pass on the board: its margin, its lines, and what opens beneath them. */
export const BoardPass = memo(function BoardPass(props: BoardPassProps) {
  const { pass, played, name, time, arrangement, band, facts, edits, you, hang, way, talk, open } = props;
  const { song, pixelsPerTick } = arrangement;
  const openLine =
    open && pass.lines.find((one) => open.startTick >= one.startTick && open.startTick < one.endTick);
  const isSung = played === null || played.stanza !== null;
  // Where nobody sings and nothing is written out, the bars stand close.
  const isWritten = arrangement.standings.some(
    ({ space, notes }) => space !== null && space.place.passId === pass.passId && notes.length > 0,
  );
  const look = { geometry: isSung || isWritten ? BOARD_LINE : BREAK_LINE, pixelsPerTick, hang };
  const said = { arrangement, band, you, edits, way: talk };
  return (
    <PassView
      pass={{ ...pass, lines: ledIn(arrangement, pass, null) }}
      name={name}
      time={time}
      margin={
        played && (
          <PassMargin
            song={song}
            pass={played}
            band={band}
            edits={edits}
            others={othersInWords(arrangement, band, played)}
            bars={barsOf(arrangement, pass.passId)}
            index={song.passes.indexOf(played)}
            count={song.passes.length}
            stanzas={stanzasOf(song, played.sectionId)}
            backup={props.backup}
            name={name}
            talk={talk.inPass(played.id)}
            onTalk={() => talk.togglePass(played.id)}
          />
        )
      }
      detail={(key) => {
        if (way.place?.lineKey === key)
          return (
            <Suspense>
              <WordsPanel
                way={way}
                stanzas={played ? stanzasOf(song, played.sectionId) : 1}
                talk={played && (() => talk.toggleLine(key))}
              />
            </Suspense>
          );
        const line = pass.lines.find((one) => one.key === key);
        if (line && played && talk.isOpen({ kind: 'line', id: key }))
          return (
            <Suspense>
              <LineTalk {...said} line={line} passId={played.id} openSpace={props.openSpace} />
            </Suspense>
          );
        if (openLine?.key !== key) return null;
        return <Suspense>{props.detail}</Suspense>;
      }}
      above={
        played &&
        talk.isOpen({ kind: 'pass', id: played.id }) && (
          <Suspense>
            <PassTalk {...said} passId={played.id} name={name} />
          </Suspense>
        )
      }
      beneath={
        played &&
        props.backup.isOpen && (
          <Suspense>
            <BackupPanel arrangement={arrangement} band={band} pass={played} you={you} />
          </Suspense>
        )
      }
      pixelsPerTick={pixelsPerTick}
      geometry={BOARD_LINE}
      bySpace={arrangement.bySpace}
      playerOf={facts.playerOf}
      breakOf={facts.breakOf}
      instrumentOf={facts.instrumentOf}
      songKey={song.key}
      chordName={sameName}
      isReadable={isReadable}
      onlyPlayer={null}
      hang={hang}
      barNumbers
      troubleOf={facts.troubleOf}
      onWords={props.onWords}
      onTalk={talk.toggleLine}
      lookOf={(line) => ({
        ...look,
        words: wordsIn(way, line.key),
        talk: talk.inLine(line),
        spaces:
          open && open.startTick < line.endTick && open.endTick > line.startTick
            ? facts.opened
            : facts.closed,
      })}
      spaces={facts.closed}
    />
  );
}, standsStill);

/** The words and chords of the line that is being changed; null: not this one. */
function wordsIn(way: WordsWay, lineKey: string): WordsInUse | null {
  if (way.place?.lineKey !== lineKey) return null;
  return {
    words: way.places.words.filter((one) => one.lineKey === lineKey),
    chords: way.places.chords.filter((one) => one.lineKey === lineKey),
    chosen: atOf(way.place),
    choose: way.choose,
    write: way.write,
    labelOf: way.labelOf,
  };
}
