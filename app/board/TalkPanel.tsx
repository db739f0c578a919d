'use client';

import { type ReactNode, useEffect, useId, useRef } from 'react';
import type { SongEdits } from '../../lib/document';
import { type Arrangement, type Line, placeOfLine, placeOfPass, whereInWords } from '../../lib/parts';
import type { Band, Comment } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import { Button } from '../ui/Button';
import { Comments } from './Comments';
import { nameOf } from './said-words';
import { spacesIn, type TalkWay } from './useTalk';

interface Shared {
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly you: string | null;
  /** Null: nothing can be written now. */
  readonly edits: SongEdits | null;
  readonly way: TalkWay;
}

const NOTHING: readonly Comment[] = [];

/** Beneath a line: what is said of it, and of the spaces in it with the way to each. */
export function LineTalk({
  line,
  passId,
  openSpace,
  ...rest
}: Shared & { readonly line: Line; readonly passId: string; readonly openSpace: (space: Space) => void }) {
  const { arrangement, band, you, edits, way } = rest;
  const place = placeOfLine(line, passId, arrangement.timeline);
  const spaces = spacesIn(line).flatMap((space) => {
    const last = way.talk.bySpace.get(space.id)?.at(-1);
    return last ? [{ space, last }] : [];
  });
  const words = line.words.replace(/[,;:.]+$/, '');
  const bars = barsInWords(line);
  const shared = { band, you, edits };
  return (
    <Panel heading={words === '' ? `Said of ${bars}` : `Said of “${words}”`} close={way.close}>
      {spaces.length > 0 && (
        <ul aria-label="What is said of its spaces">
          {spaces.map(({ space, last }) => (
            <li key={space.id} className="flex flex-wrap items-baseline gap-x-4">
              <span>
                {whereInWords(arrangement, space.place)}: {nameOf(band.players, last.by)}: {last.text}
              </span>
              <Button
                label={`Go there: ${whereInWords(arrangement, space.place)}`}
                onPress={() => openSpace(space)}
              >
                go there
              </Button>
            </li>
          ))}
        </ul>
      )}
      {place ? (
        <Comments {...shared} said={way.talk.byLine.get(line.key) ?? NOTHING} place={place} what="the line" />
      ) : (
        <>
          <p className="aside">
            Nobody sings here: it is said of the whole pass, with the bars that are meant.
          </p>
          <Comments
            {...shared}
            said={way.talk.byPass.get(passId) ?? NOTHING}
            place={placeOfPass(passId)}
            what={bars}
            begin={`${bars.charAt(0).toUpperCase()}${bars.slice(1)}: `}
          />
        </>
      )}
    </Panel>
  );
}

/** `bars 5 to 8`: those that begin in the line; a pickup has no number. */
function barsInWords({ segments }: Line): string {
  const own = segments.filter(({ startsBar, bar }) => startsBar && !bar.bar.pickup);
  const [first, last] = [own[0]?.bar.number, own.at(-1)?.bar.number];
  if (first === undefined) return 'the line';
  return first === last ? `bar ${first}` : `bars ${first} to ${last}`;
}

/** Over a pass's lines: what is said of it. */
export function PassTalk({
  passId,
  name,
  ...shared
}: Shared & { readonly passId: string; readonly name: string }) {
  const { band, you, edits, way } = shared;
  return (
    <Panel heading={`Said of ${name}`} close={way.close}>
      <Comments
        said={way.talk.byPass.get(passId) ?? NOTHING}
        place={placeOfPass(passId)}
        what={name}
        band={band}
        you={you}
        edits={edits}
      />
    </Panel>
  );
}

function Panel({
  heading,
  close,
  children,
}: {
  readonly heading: string;
  readonly close: () => void;
  readonly children: ReactNode;
}) {
  const id = useId();
  const root = useRef<HTMLElement>(null);
  // What was asked for is in sight, and is read aloud next.
  useEffect(() => {
    root.current?.focus({ preventScroll: true });
    root.current?.scrollIntoView({ block: 'nearest' });
  }, []);
  return (
    <section ref={root} className="detail no-print outline-none" aria-labelledby={id} tabIndex={-1}>
      <h3 id={id}>{heading}</h3>
      {children}
      <div className="turns">
        <Button shortcut="Escape" onPress={close}>
          Close
        </Button>
      </div>
    </section>
  );
}
