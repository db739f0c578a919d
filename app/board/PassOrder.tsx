import { useId, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import type { Pass, Song } from '../../lib/song';
import { Button } from '../ui/Button';
import { stanzasOf } from './facts';
import { openPass } from './open-pass';
import { newPass } from './pass-order';

const SELECT = 'min-h-(--touch) min-w-0 max-w-full border-b border-edge bg-transparent';

/** The order of the song, changed where it stands: again, another part, earlier, later, out; sung (which words) or a break. */
export function PassOrder({
  song,
  pass,
  edits,
  index,
  count,
  stanzas,
}: {
  readonly song: Song;
  readonly pass: Pass;
  readonly edits: SongEdits;
  readonly index: number;
  readonly count: number;
  readonly stanzas: number;
}) {
  const id = useId();
  const others = song.sections.filter((section) => section.bars.length > 0);
  const [chosen, setChosen] = useState(
    (others.find((section) => section.id !== pass.sectionId) ?? others[0])?.id ?? '',
  );
  const [problem, setProblem] = useState<string | null>(null);
  const section = others.find((one) => one.id === chosen) ?? null;
  const { id: _, ...fields } = pass;
  const words = Array.from({ length: Math.max(1, stanzas) }, (__, i) => i + 1);

  const add = (made: Omit<Pass, 'id'>) => {
    const done = edits.addPass(made, index + 1);
    if (!done.ok) return setProblem(`${done.error.what}: ${done.error.mend}`);
    openPass(done.value);
  };
  const leaveOut = () => {
    const next = song.passes[index + 1] ?? song.passes[index - 1];
    edits.removePass(pass.id);
    // Whoever cuts goes on from the pass that stands there now.
    openPass(next?.id ?? null);
  };
  return (
    <div className="pass-order">
      <label className="plain flex min-h-(--touch) max-w-full items-center gap-2 text-[0.9375rem]">
        sung:
        <select
          className={SELECT}
          value={pass.stanza ?? 0}
          onChange={(event) => {
            const stanza = Number(event.target.value);
            edits.setPass(pass.id, { stanza: stanza === 0 ? null : stanza, name: '' });
          }}
        >
          {words.map((stanza) => (
            <option key={stanza} value={stanza}>
              {stanzas > 1 ? `stanza ${stanza}` : 'with the words'}
            </option>
          ))}
          <option value={0}>by nobody: a break</option>
        </select>
      </label>
      <Button shortcut="+" onPress={() => add({ ...fields, name: '' })}>
        Play it once more after this
      </Button>
      <Button
        shortcut="shift+ArrowUp"
        disabled={index === 0}
        onPress={() => edits.movePass(pass.id, index - 1)}
      >
        Earlier
      </Button>
      <Button
        shortcut="shift+ArrowDown"
        disabled={index === count - 1}
        onPress={() => edits.movePass(pass.id, index + 1)}
      >
        Later
      </Button>
      <Button shortcut="Delete" disabled={count === 1} onPress={leaveOut}>
        Leave it out
      </Button>
      {others.length > 1 && (
        <span className="flex min-w-0 flex-wrap items-center gap-x-2">
          <label htmlFor={id} className="plain text-[0.9375rem]">
            After this, another part:
          </label>
          <select
            id={id}
            className={SELECT}
            value={chosen}
            onChange={({ target }) => setChosen(target.value)}
          >
            {others.map((one) => (
              <option key={one.id} value={one.id}>
                {one.name}
              </option>
            ))}
          </select>
          <Button
            shortcut="Insert"
            disabled={section === null}
            onPress={() => section && add(newPass(song, section, index + 1, stanzasOf(song, section.id)))}
          >
            {section?.name} after this
          </Button>
        </span>
      )}
      {problem && (
        <p role="alert" className="plain text-accent">
          {problem}
        </p>
      )}
    </div>
  );
}
