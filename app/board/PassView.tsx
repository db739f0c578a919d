import { Fragment, type ReactNode, useId } from 'react';
import type { Line, PassLines } from '../../lib/parts';
import { LineView } from './LineView';
import type { LineProps } from './look';
import { rowsGuess } from './rows-guess';

export interface PassProps extends Omit<LineProps, 'line'> {
  readonly pass: PassLines;
  readonly name: string;
  /** The how manyth pass of this name it is: said to who cannot see where it stands. */
  readonly time?: number;
  /** Lines of the margin under the name. */
  readonly margin: ReactNode;
  /** Where lines differ in height or scale; by default all are alike. */
  readonly lookOf?: (
    line: Line,
  ) => Pick<LineProps, 'geometry' | 'without' | 'pixelsPerTick' | 'hang' | 'words' | 'talk'> &
    Partial<Pick<LineProps, 'spaces'>>;
  /** What opens beneath a line, by its key. */
  readonly detail: (lineKey: string) => ReactNode;
  /** What opens over its lines. */
  readonly above?: ReactNode;
  /** What opens beneath all its lines. */
  readonly beneath?: ReactNode;
}

/** A pass: its place in the order of the song in the margin, and its lines. */
export function PassView({
  pass,
  name,
  time = 1,
  margin,
  detail,
  above,
  beneath,
  lookOf,
  ...rest
}: PassProps) {
  const id = useId();
  const [first] = pass.lines;
  const { geometry, pixelsPerTick } = { ...rest, ...(first && lookOf?.(first)) };
  return (
    <section className="pass" aria-labelledby={id} data-pass={pass.passId ?? pass.sectionId}>
      <div className="pass-margin">
        <h2 id={id} className="pass-name">
          {name}
          {time > 1 && <span className="sr-only">, time {time}</span>}
        </h2>
        {margin}
      </div>
      <div className="lines" style={rowsGuess(pass.lines, pixelsPerTick, geometry)}>
        {above}
        {pass.lines.map((line) => (
          <Fragment key={line.key}>
            <LineView line={line} {...rest} {...lookOf?.(line)} />
            {detail(line.key)}
          </Fragment>
        ))}
        {beneath}
      </div>
    </section>
  );
}
