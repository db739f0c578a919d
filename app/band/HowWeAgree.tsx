import type { BandEdits } from '../../lib/document';
import type { Band } from '../../lib/song';

/** Whose word it is who holds a space, and whether the band votes on what is put to it. */
export function HowWeAgree({ band, edits }: { readonly band: Band; readonly edits: BandEdits }) {
  return (
    <>
      <label className="plain flex min-h-(--touch) flex-wrap items-center gap-x-3">
        Who leads the band, and decides who holds which space:
        <select
          className="min-h-(--touch) border-b border-edge bg-transparent"
          value={band.leaderId ?? ''}
          onChange={(event) => edits.setSettings({ leaderId: event.target.value || null })}
        >
          <option value="">nobody: whoever is there</option>
          {band.players.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <label className="plain flex min-h-(--touch) items-center gap-3">
        <input
          type="checkbox"
          checked={band.votes}
          onChange={(event) => edits.setSettings({ votes: event.target.checked })}
        />
        We vote on what is put to the band
      </label>
      <p className="aside">
        Who holds a space decides about its notes. It is courtesy and no lock: whoever settles over somebody
        is asked once.
      </p>
    </>
  );
}
