'use client';

import { type KeyboardEvent, type PointerEvent, useEffect, useId, useRef, useState } from 'react';
import { asksForCare, type Edited, type FillEdit } from '../../../lib/fills';
import { type InstrumentName, openStrings, stringCount } from '../../../lib/instruments';
import type { Arrangement } from '../../../lib/parts';
import { pitchName } from '../../../lib/theory';
import { useKeys } from '../../hooks/useKeys';
import { ProblemNotice, sentence } from '../../ui/Notice';
import type { Standing } from '../../workers/offers';
import { Care } from '../Care';
import type { Seated } from '../useOffers';
import { type Cursor, noteAt, noteInWords, STEP, timeInWords, timesOf } from './cursor';
import { EditedTab } from './EditedTab';
import { Tools } from './Tools';
import { useFillEdit } from './useFillEdit';
import { WordField } from './WordField';

export interface FillEditorProps {
  readonly fill: Standing;
  readonly seated: Seated;
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  readonly chordName: (symbol: string) => string;
  readonly keep: (fill: Standing) => void;
  readonly close: () => void;
}

const ALSO_OF_THE_PAGE: ReadonlySet<string> = new Set(['s', 't', 'h', 'c', 'mod+z', 'mod+shift+z', 'Escape']);

/**
 * A fill in its tablature, changed note by note: arrows go through times and strings, digits write frets, and what each key does a
 * button does too. Every change is solved anew for both hands beside the page, read out, and can be taken back.
 */
export function FillEditor(props: FillEditorProps) {
  const { fill, seated, arrangement, instrument, chordName } = props;
  const { timeline, song } = arrangement;
  const { stretch } = seated.seat;
  const helpId = useId();
  const field = useRef<HTMLDivElement>(null);
  const word = useRef<HTMLInputElement>(null);
  const first = fill.notes[0];
  const [cursor, setCursor] = useState<Cursor>({
    tick: first?.tick ?? stretch.startTick,
    string: first?.string ?? 1,
  });
  const [said, setSaid] = useState('');
  const typed = useRef<{ readonly at: string; readonly fret: number } | null>(null);
  const strings = stringCount(instrument);
  const nameOf = (midi: number) => pitchName(midi, song.key.tonic.includes('b') ? 'flats' : 'sharps');

  const place = (at: Cursor, now: Edited | null) => {
    const where = strings === 0 ? '' : `, string ${at.string}`;
    return `${timeInWords(timeline, at.tick)}${where}: ${noteInWords(now?.notes[noteAt(now.notes, at)], nameOf)}`;
  };
  const editing = useFillEdit(seated, fill, (now) => {
    const hard = now.marks.find((mark) => now.notes[mark.note]?.tick === cursor.tick);
    setSaid(`${place(cursor, now)}${hard ? `; hard: ${hard.reason.detail}` : ''}`);
  });
  const { now } = editing;
  const notes = now?.notes ?? fill.notes;
  const endTick = Math.max(stretch.endTick, ...notes.map((note) => note.tick + note.ticks));
  const startTick = Math.min(stretch.startTick, ...notes.map((note) => note.tick));
  const times = timesOf(notes, stretch.startTick, stretch.endTick);

  useEffect(() => field.current?.focus(), []);

  const go = (to: Cursor) => {
    typed.current = null;
    setCursor(to);
    setSaid(place(to, now));
  };
  const along = (by: number) => {
    const next =
      by > 0 ? times.find((tick) => tick > cursor.tick) : times.findLast((tick) => tick < cursor.tick);
    if (next === undefined) return;
    const sung = strings === 0 ? 0 : cursor.string;
    go({ tick: next, string: sung });
  };
  /** A change of the note under the cursor. */
  const ofNote = (make: (index: number, now: Edited) => FillEdit | null) =>
    editing.change((latest) => {
      const index = noteAt(latest.notes, cursor);
      return index < 0 ? null : make(index, latest);
    });
  const across = (by: number) => {
    if (strings === 0) return step(-by);
    const string = cursor.string + by;
    if (string >= 1 && string <= strings) go({ ...cursor, string });
  };
  /** A fret or a half step up or down; where there is no note, an open string. */
  const step = (by: number) =>
    editing.change((latest) => {
      const index = noteAt(latest.notes, cursor);
      const note = latest.notes[index];
      if (!note) return strings === 0 ? null : put(0);
      if (strings === 0) return { kind: 'pitch', note: index, midi: note.midi + by };
      return { kind: 'place', note: index, string: cursor.string, fret: note.fret + by };
    });
  const put = (fret: number): FillEdit => ({ kind: 'add', ...cursor, ticks: STEP, fret });
  const digit = (figure: number) => {
    if (strings === 0) return;
    const at = `${cursor.tick} ${cursor.string}`;
    const before = typed.current?.at === at ? typed.current.fret : null;
    const both = before === null || before === 0 ? null : before * 10 + figure;
    const fret = both !== null && both <= 24 ? both : figure;
    typed.current = { at, fret };
    editing.change(() => put(fret), fret === both);
  };
  /** The note goes along, and the cursor with it; a change that is refused leaves the cursor where it would have been. */
  const carry = (to: Cursor, make: (index: number, now: Edited) => FillEdit | null) => {
    const from = cursor;
    setCursor(to);
    editing.change((latest) => {
      const index = noteAt(latest.notes, from);
      return index < 0 ? null : make(index, latest);
    });
  };
  const toOtherString = (by: number) => {
    const string = cursor.string + by;
    const open = openStrings(seated.seat.setup);
    const midi = open.ok ? open.value[string - 1]?.midi : undefined;
    if (midi === undefined) return;
    carry({ ...cursor, string }, (index, latest) => ({
      kind: 'place',
      note: index,
      string,
      fret: (latest.notes[index]?.midi ?? midi) - midi,
    }));
  };
  const move = (by: number) => {
    const tick = cursor.tick + by * STEP;
    carry({ ...cursor, tick }, (index) => ({ kind: 'move', note: index, tick }));
  };
  const lengthen = (by: number) =>
    ofNote((index, latest) => {
      const note = latest.notes[index];
      return note
        ? { kind: 'length', note: index, ticks: Math.max(STEP / 2, note.ticks + (by * STEP) / 2) }
        : null;
    });
  const bowed = instrument === 'fiddle';
  const slur = () =>
    ofNote((index) => ({ kind: 'articulation', note: index, articulation: bowed ? 'slurred' : 'hammer' }));
  const how = (articulation: 'slide' | 'choke' | 'struck') =>
    ofNote((index) => ({
      kind: 'articulation',
      note: index,
      articulation: articulation === 'struck' && bowed ? 'bowed' : articulation,
    }));
  const takeOut = () => ofNote((index) => ({ kind: 'remove', note: index }));
  const keep = () => now && props.keep({ family: fill.family, notes: now.notes });

  const keys = new Map<string, () => void>([
    ['ArrowLeft', () => along(-1)],
    ['ArrowRight', () => along(1)],
    ['ArrowUp', () => across(-1)],
    ['ArrowDown', () => across(1)],
    ['shift+ArrowLeft', () => move(-1)],
    ['shift+ArrowRight', () => move(1)],
    ['shift+ArrowUp', () => toOtherString(-1)],
    ['shift+ArrowDown', () => toOtherString(1)],
    ['Delete', takeOut],
    ['Backspace', takeOut],
    ['+', () => step(1)],
    ['-', () => step(-1)],
    ['<', () => lengthen(-1)],
    ['>', () => lengthen(1)],
    ['h', slur],
    ['s', () => how('slide')],
    ['c', () => how('choke')],
    ['t', () => how('struck')],
    ...(strings === 0 ? [['w', () => word.current?.focus()] as const] : []),
    ['mod+z', () => editing.undo?.()],
    ['mod+shift+z', () => editing.redo?.()],
    ['Enter', () => keep()],
    ['Escape', props.close],
  ]);
  // Where the focus is elsewhere, those that stand beside actions of the page too are the editor's while it is open.
  useKeys(Object.fromEntries([...keys].filter(([name]) => ALSO_OF_THE_PAGE.has(name))));
  const sing = (word: string) => {
    ofNote((index) => ({ kind: 'word', note: index, word }));
    field.current?.focus({ preventScroll: true });
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.target instanceof HTMLInputElement) return;
    const name = nameOfKey(event);
    const act =
      /^\d$/.test(event.key) && name === event.key ? () => digit(Number(event.key)) : keys.get(name);
    const onButton = event.target instanceof HTMLButtonElement && (name === 'Enter' || name === ' ');
    if (!act || onButton) return;
    event.preventDefault();
    event.stopPropagation();
    act();
  };
  const onPointerDown = (event: PointerEvent, at: Cursor) => {
    event.preventDefault();
    field.current?.focus({ preventScroll: true });
    go({ tick: nearest(times, at.tick), string: at.string });
  };
  const marks = now?.marks ?? [];
  const sung = notes[noteAt(notes, cursor)];
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: its keys belong to the field and buttons in it
    <div className="fill-editor" onKeyDown={onKeyDown}>
      {/* biome-ignore lint/a11y/useSemanticElements: a drawing with a cursor has no element of its own */}
      <div
        ref={field}
        className="fill-field"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the keys act on it
        tabIndex={0}
        role="group"
        aria-label="The fill, note by note"
        aria-describedby={helpId}
      >
        <EditedTab
          notes={notes}
          marks={marks}
          cursor={cursor}
          frame={{ arrangement, instrument, chordName, startTick, endTick }}
          point={onPointerDown}
        />
      </div>
      <p className="fill-said" role="status">
        {said === '' ? place(cursor, now) : said}
      </p>
      <p className="sr-only" id={helpId}>
        Arrows go through times and strings, digits write frets, Delete takes a note out.
      </p>
      <Tools
        strings={strings}
        bowed={bowed}
        hasNote={noteAt(notes, cursor) >= 0}
        mayKeep={now !== null}
        {...{ along, across, step, takeOut, slur, how, move, lengthen, keep }}
        undo={editing.undo}
        redo={editing.redo}
        close={props.close}
      />
      {strings === 0 && (
        <WordField
          key={`${cursor.tick} ${sung?.word ?? ''}`}
          ref={word}
          word={sung?.word ?? ''}
          isThere={sung !== undefined}
          sing={sing}
          leave={() => field.current?.focus({ preventScroll: true })}
        />
      )}
      {editing.problem && <ProblemNotice problem={editing.problem} />}
      {marks.length > 0 && (
        <div className="fill-marks">
          <h4 className="detail-heading">What is hard here</h4>
          <ul>
            {marks.map((mark) => {
              const note = notes[mark.note];
              return (
                <li key={`${mark.note} ${mark.reason.rule}`}>
                  {sentence(`${note ? timeInWords(timeline, note.tick) : ''}: ${mark.reason.detail}`)}
                </li>
              );
            })}
          </ul>
        </div>
      )}
      {asksForCare(marks.map((mark) => mark.reason)) && <Care />}
    </div>
  );
}

function nameOfKey(event: KeyboardEvent): string {
  const plain = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const mod = event.ctrlKey || event.metaKey;
  const shift = event.shiftKey && (event.key.length > 1 || mod);
  return `${mod ? 'mod+' : ''}${shift ? 'shift+' : ''}${plain}`;
}

const nearest = (times: readonly number[], tick: number): number =>
  times.reduce(
    (best, time) => (Math.abs(time - tick) < Math.abs(best - tick) ? time : best),
    times[0] ?? tick,
  );
