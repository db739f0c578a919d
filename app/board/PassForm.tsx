'use client';

import type { SongEdits } from '../../lib/document';
import { type Band, type Pass, ROLES, type Role } from '../../lib/song';
import { Button } from '../ui/Button';
import { Initials } from '../ui/Initials';

/** Who does what in a pass, and its place in the order of the song. */
export function PassForm({
  pass,
  band,
  edits,
  index,
  count,
  stanzas,
}: {
  readonly pass: Pass;
  readonly band: Band;
  readonly edits: SongEdits;
  /** Where it stands among the passes, and how many there are. */
  readonly index: number;
  readonly count: number;
  /** How many stanzas of words its section has. */
  readonly stanzas: number;
}) {
  return (
    <>
      {band.players.map((player) => (
        <label key={player.id} className="plain flex min-h-(--touch) items-center gap-2 text-[0.9375rem]">
          <span className="min-w-10">
            <Initials initials={player.initials} ink={player.ink} name={player.name} />
          </span>
          <select
            className="min-h-(--touch) border-b border-edge bg-transparent"
            value={pass.roles[player.id] ?? 'backup'}
            onChange={(event) => {
              const role = ROLES.find((one): one is Role => one === event.target.value);
              if (role) edits.setRole(pass.id, player.id, role);
            }}
          >
            {ROLES.map((role) => (
              <option key={role}>{role}</option>
            ))}
          </select>
        </label>
      ))}
      <PassOrder pass={pass} edits={edits} index={index} count={count} stanzas={stanzas} />
    </>
  );
}

/** The order of the song, changed where it stands: again, earlier, later, out; sung (which words) or a break. */
function PassOrder({
  pass,
  edits,
  index,
  count,
  stanzas,
}: {
  readonly pass: Pass;
  readonly edits: SongEdits;
  readonly index: number;
  readonly count: number;
  readonly stanzas: number;
}) {
  const { id: _, ...fields } = pass;
  const words = Array.from({ length: Math.max(1, stanzas) }, (__, i) => i + 1);
  return (
    <div className="flex flex-col items-start">
      <label className="plain flex min-h-(--touch) items-center gap-2 text-[0.9375rem]">
        sung:
        <select
          className="min-h-(--touch) border-b border-edge bg-transparent"
          value={pass.stanza ?? 0}
          onChange={(event) => {
            const stanza = Number(event.target.value);
            edits.setPass(pass.id, { stanza: stanza === 0 ? null : stanza, name: '' });
          }}
        >
          {words.map((stanza) => (
            <option key={stanza} value={stanza}>
              {stanzas > 1 ? `words of stanza ${stanza}` : 'with the words'}
            </option>
          ))}
          <option value={0}>by nobody: a break</option>
        </select>
      </label>
      <Button onPress={() => edits.addPass({ ...fields, name: '' }, index + 1)}>
        Play it once more after this
      </Button>
      <Button disabled={index === 0} onPress={() => edits.movePass(pass.id, index - 1)}>
        Earlier
      </Button>
      <Button disabled={index === count - 1} onPress={() => edits.movePass(pass.id, index + 1)}>
        Later
      </Button>
      <Button disabled={count === 1} onPress={() => edits.removePass(pass.id)}>
        Leave it out
      </Button>
    </div>
  );
}
