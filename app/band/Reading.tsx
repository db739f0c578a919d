'use client';

import type { SongRead } from '../../lib/exchange';
import { meterName } from '../../lib/time';
import { Button } from '../ui/Button';
import { sentence } from '../ui/Notice';
import { inWords } from './words';

/** What became of a file, in sentences: what was read, what was guessed, what to look at, what was left out and where. */
export function Reading({
  read,
  onPlace,
}: {
  readonly read: SongRead;
  /** Null where there is no text to go to a place of. */
  readonly onPlace: ((line: number, column: number) => void) | null;
}) {
  const { song, report } = read;
  const first = song.sections[0]?.bars.find((bar) => !bar.pickup);
  const says = [
    `${song.key.tonic} ${song.key.mode}`,
    first ? meterName(first.meter) : '',
    song.tempo === null ? '' : `${song.tempo} quarter notes a minute`,
  ].filter(Boolean);
  return (
    <div className="max-w-prose">
      <p>
        In {says.join(', ')}. {report.read.length > 0 && sentence(inWords(report.read))}
      </p>
      <Sentences heading="Guessed, since the song does not say" items={report.guessed} />
      <Sentences heading="To be looked at" items={report.warnings} />
      {report.leftOut.length > 0 && (
        <>
          <h3 className="mt-4 font-semibold">Left out</h3>
          <ul>
            {report.leftOut.map((item) => (
              <li
                key={`${item.place ?? ''} ${item.line} ${item.column} ${item.what}`}
                className="flex flex-wrap items-baseline gap-x-3"
              >
                <span>{sentence(item.what)}</span>
                {item.place === undefined && onPlace ? (
                  <Button
                    onPress={() => onPlace(item.line, item.column)}
                    label={`Go to line ${item.line}, column ${item.column} of the text`}
                  >
                    line {item.line}, column {item.column}
                  </Button>
                ) : (
                  <span>{item.place ?? `line ${item.line}, column ${item.column}`}</span>
                )}
              </li>
            ))}
          </ul>
        </>
      )}
      {report.leftOut.length === 0 && <p className="mt-2">Nothing was left out.</p>}
    </div>
  );
}

function Sentences({ heading, items }: { readonly heading: string; readonly items: readonly string[] }) {
  if (items.length === 0) return null;
  return (
    <>
      <h3 className="mt-4 font-semibold">{heading}</h3>
      <ul>
        {items.map((item) => (
          <li key={item}>{sentence(item)}</li>
        ))}
      </ul>
    </>
  );
}
