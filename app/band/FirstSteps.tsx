import type { Band } from '../../lib/song';
import { EnterDemo } from '../home/EnterDemo';
import { ActionLink } from '../ui/Button';

/** Where a band has no song yet: what to do first, and a band to look around in that has some. */
export function FirstSteps({ band, mayEdit }: { readonly band: Band; readonly mayEdit: boolean }) {
  if (!mayEdit) return <p className="max-w-prose">No songs yet. The players bring them in.</p>;
  const silent = band.players.filter(({ instruments }) => instruments.length === 0);
  return (
    <div className="max-w-prose">
      <p>No songs yet. First steps:</p>
      <ol className="my-2 list-decimal pl-6">
        <li>
          <ActionLink href={`/band/${band.id}/bring-in`} shortcut="b" look="main">
            Bring in a song
          </ActionLink>{' '}
          from a file, or paste its words with their chords.
        </li>
        <li>
          {silent.length === 0
            ? 'Add who else plays, under Players below.'
            : `Say under Players below what ${silent.map(({ name }) => name).join(', ')} ${silent.length === 1 ? 'plays' : 'play'}: ideas are made for instruments.`}
        </li>
        <li>Give the others the private link, so that they can join in from their own devices.</li>
      </ol>
      <p className="mt-4">
        Or see first how an arranged song looks. The demo is a band of its own: nothing of it comes into
        yours, and nothing of yours into it.
      </p>
      <div className="mt-2">
        <EnterDemo />
      </div>
    </div>
  );
}
