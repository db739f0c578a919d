'use client';

import { type PointerEvent, useEffect, useRef } from 'react';
import type { Mark } from '../../../lib/fills';
import { type InstrumentName, stringCount } from '../../../lib/instruments';
import {
  type Arrangement,
  fillDrawing,
  NUMBER_INSET,
  roomBefore,
  rulerDrawing,
  tabDrawing,
} from '../../../lib/parts';
import type { FillNote } from '../../../lib/song';
import { beatTicks } from '../../../lib/time';
import { Painter } from '../Painter';
import type { Cursor } from './cursor';

export interface EditedFrame {
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  readonly chordName: (symbol: string) => string;
  readonly startTick: number;
  readonly endTick: number;
}

const TOP = 44;
const STRING_STEP = 15;
const STAFF_HEIGHT = 60;
const NUMBER = 14;
const PIXELS_PER_TICK = 64 / 960;
/** Room for the first number, and a finger's width at the end. */
const LEFT = 12;
const RIGHT = 16;

/** The fill under change: tablature for everything with strings (a voice has a staff), the cursor, and what is marked. */
export function EditedTab({
  notes,
  marks,
  cursor,
  frame,
  point,
}: {
  readonly notes: readonly FillNote[];
  readonly marks: readonly Mark[];
  readonly cursor: Cursor;
  readonly frame: EditedFrame;
  readonly point: (event: PointerEvent, at: Cursor) => void;
}) {
  const { arrangement, instrument, startTick, endTick } = frame;
  const strings = stringCount(instrument);
  const bottom = strings === 0 ? TOP + STAFF_HEIGHT : TOP + STRING_STEP * (strings - 1);
  const tickTop = bottom + 9;
  const height = tickTop + 12;
  const xOf = (tick: number) => (tick - startTick) * PIXELS_PER_TICK;
  const width = xOf(endTick);
  const staff = { instrument, key: arrangement.song.key, top: TOP, bottom };
  const left = LEFT + (strings === 0 ? roomBefore(staff) : 0);
  const bar = arrangement.timeline.barAt(startTick);
  const here = useRef<HTMLDivElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: wherever the cursor goes it stays in sight
  useEffect(() => {
    here.current?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  }, [cursor]);
  const drawing =
    strings === 0
      ? fillDrawing(notes, {
          ...staff,
          startTick,
          endTick,
          xOf,
          barTick: bar.startTick,
          beatTicks: beatTicks(bar.bar.meter),
          numberSize: NUMBER,
          begins: true,
        })
      : tabDrawing(notes, {
          startTick,
          endTick,
          xOf,
          strings,
          top: TOP,
          stringStep: STRING_STEP,
          numberSize: NUMBER,
          strokes: true,
        });
  const yOf = (string: number) => (strings === 0 ? TOP + STAFF_HEIGHT / 2 : TOP + STRING_STEP * (string - 1));
  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    const box = event.currentTarget.getBoundingClientRect();
    const tick = startTick + (event.clientX - box.left - left - NUMBER_INSET) / PIXELS_PER_TICK;
    const string = 1 + Math.round((event.clientY - box.top - TOP) / STRING_STEP);
    point(event, { tick, string: strings === 0 ? 0 : Math.min(strings, Math.max(1, string)) });
  };
  const hard = [...new Set(marks.map((mark) => notes[mark.note]).filter((note) => note !== undefined))];
  return (
    <div className="fill-scroll">
      <div
        className="fill-drawing"
        style={{ width: left + width + RIGHT, height }}
        onPointerDown={onPointerDown}
      >
        <div
          ref={here}
          className="fill-cursor"
          style={
            strings === 0
              ? { left: left + xOf(cursor.tick) - 4, top: TOP - 6, width: 22, height: STAFF_HEIGHT + 12 }
              : {
                  left: left + xOf(cursor.tick) + NUMBER_INSET - 12,
                  top: yOf(cursor.string) - 11,
                  width: 24,
                  height: 22,
                }
          }
        />
        <Painter
          left={left}
          top={0}
          width={width}
          height={height}
          drawing={[
            ...rulerDrawing(arrangement.timeline, {
              startTick,
              endTick,
              xOf,
              chordName: frame.chordName,
              chordBase: 14,
              chordSize: 14,
              top: TOP,
              tickTop,
            }),
            ...drawing,
          ]}
        />
        {hard.map((note) => (
          <span
            key={`${note.tick} ${note.string}`}
            aria-hidden="true"
            className="fill-mark"
            style={{ left: left + xOf(note.tick) + NUMBER_INSET - 11, top: yOf(note.string) - 10 }}
          />
        ))}
      </div>
    </div>
  );
}
