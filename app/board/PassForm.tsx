'use client';

import { useEffect, useRef } from 'react';
import type { SongEdits } from '../../lib/document';
import { type Band, type Pass, ROLES, type Role, type Song } from '../../lib/song';
import { Button } from '../ui/Button';
import { Initials } from '../ui/Initials';
import { goToPass, openPass } from './open-pass';
import { PassOrder } from './PassOrder';

/** Who does what in a pass, and its place in the order of the song. */
export function PassForm({
  song,
  pass,
  band,
  edits,
  index,
  count,
  stanzas,
}: {
  readonly song: Song;
  readonly pass: Pass;
  readonly band: Band;
  readonly edits: SongEdits;
  /** Where it stands among the passes, and how many there are. */
  readonly index: number;
  readonly count: number;
  /** How many stanzas of words its section has. */
  readonly stanzas: number;
}) {
  const root = useRef<HTMLFieldSetElement>(null);
  // Opened, or moved: the keys are here, and the pass is in sight.
  // biome-ignore lint/correctness/useExhaustiveDependencies: each time its place is another one
  useEffect(() => goToPass(pass.id), [pass.id, index]);
  const close = () => {
    const opener = root.current
      ?.closest('section.pass')
      ?.querySelector<HTMLElement>('[aria-expanded="true"]');
    openPass(null);
    opener?.focus();
  };
  return (
    <fieldset ref={root} tabIndex={-1} data-pass-form="" className="pass-form no-print outline-none">
      <legend className="aside">
        The {nth(index + 1)} of {count} passes
      </legend>
      <PassOrder song={song} pass={pass} edits={edits} index={index} count={count} stanzas={stanzas} />
      <div className="pass-roles">
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
      </div>
      <Button shortcut="Escape" onPress={close}>
        Done
      </Button>
    </fieldset>
  );
}

function nth(count: number): string {
  const tens = count % 100;
  return `${count}${tens >= 11 && tens <= 13 ? 'th' : (['th', 'st', 'nd', 'rd'][count % 10] ?? 'th')}`;
}
