'use client';

import { useId, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import { type Band, type Pass, ROLES, type Role } from '../../lib/song';
import { Button } from '../ui/Button';
import { Initials } from '../ui/Initials';

/** What stands under a pass's name: how long it is, who sings, who has the break; and who does what, to be changed. */
export function PassMargin({
  pass,
  band,
  edits,
  others,
  bars,
}: {
  readonly pass: Pass;
  readonly band: Band;
  readonly edits: SongEdits | null;
  readonly others: string;
  readonly bars: number;
}) {
  const [isOpen, setOpen] = useState(false);
  const id = useId();
  return (
    <>
      <p className="aside">
        {bars} {bars === 1 ? 'bar' : 'bars'}
        {others !== '' && <>. {others}</>}
      </p>
      {edits && (
        <div className="no-print">
          <Button expanded={isOpen} onPress={() => setOpen(!isOpen)}>
            who does what
          </Button>
        </div>
      )}
      {isOpen && edits && (
        <div id={id} className="no-print py-1">
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
      )}
    </>
  );
}
