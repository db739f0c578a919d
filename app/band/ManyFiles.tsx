'use client';

import { ActionLink, Button } from '../ui/Button';
import { ProblemNotice, sentence } from '../ui/Notice';
import { Passage } from '../ui/Passage';
import { Reading } from './Reading';
import type { FileState, OneFile } from './useManyFiles';

/** Several files at once: what has become of each, and all that could be read brought in together. */
export function ManyFiles({
  bandId,
  files,
  onBringIn,
  onStop,
  onForget,
}: {
  readonly bandId: string;
  readonly files: readonly OneFile[];
  readonly onBringIn: () => void;
  readonly onStop: () => void;
  readonly onForget: () => void;
}) {
  const count = (...states: readonly FileState['state'][]) =>
    files.filter(({ is }) => states.includes(is.state)).length;
  const isReading = count('waiting', 'reading') > 0;
  const isBringing = count('bringing') > 0;
  const ready = files.filter(({ is }) => (is.state === 'read' || is.state === 'failed') && is.read).length;
  const settled = files.length - count('waiting', 'reading', 'bringing');
  return (
    <Passage heading={`${files.length} files`}>
      <p role="status">
        {isReading
          ? `Reading, ${settled} of ${files.length} done …`
          : isBringing
            ? `Bringing them in, ${count('in')} done …`
            : [
                count('in') > 0 && `${count('in')} are the band's now.`,
                ready > 0 && `${ready} can be brought in.`,
                count('failed') > 0 && `${count('failed')} could not be taken as they are.`,
                count('stopped') > 0 && `${count('stopped')} were not read.`,
              ]
                .filter(Boolean)
                .join(' ')}
      </p>
      {(isReading || isBringing) && <progress aria-label="Files done" value={settled} max={files.length} />}
      <ul className="max-w-prose">
        {files.map(({ file, is }) => (
          <li key={`${file.name} ${file.size} ${file.lastModified}`} className="my-2">
            <File bandId={bandId} name={file.name} is={is} />
          </li>
        ))}
      </ul>
      <div className="flex flex-wrap gap-x-8">
        {(isReading || isBringing) && (
          <Button shortcut="Escape" onPress={onStop}>
            Stop
          </Button>
        )}
        {!isReading && !isBringing && ready > 0 && (
          <Button look="main" shortcut="mod+Enter" onPress={onBringIn}>
            {ready === 1 ? 'Bring in the one' : `Bring in all ${ready}`}
          </Button>
        )}
        {!isReading && !isBringing && (
          <Button shortcut="x" onPress={onForget}>
            Begin again
          </Button>
        )}
      </div>
    </Passage>
  );
}

const SAYS = {
  waiting: 'waiting',
  reading: 'being read …',
  stopped: 'not read',
  bringing: 'being brought in …',
};

function File({
  bandId,
  name,
  is,
}: {
  readonly bandId: string;
  readonly name: string;
  readonly is: FileState;
}) {
  switch (is.state) {
    case 'in':
      return <ActionLink href={`/band/${bandId}/song/${is.songId}`}>{is.title}</ActionLink>;
    case 'failed':
      return <ProblemNotice problem={is.problem} kept="the others are not touched by it" />;
    case 'read':
      return (
        <details>
          <summary>
            {is.read.song.title} ({name}){is.tunes > 1 && `, the first of ${is.tunes} in the file`}
            {is.read.report.leftOut.length > 0 &&
              `. ${sentence(`${is.read.report.leftOut.length} things were left out`)}`}
          </summary>
          <Reading read={is.read} onPlace={null} />
        </details>
      );
    default:
      return (
        <>
          {name}: {SAYS[is.state]}
        </>
      );
  }
}
