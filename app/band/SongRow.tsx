import Link from 'next/link';
import type { SongEntry } from '../../lib/song';
import { keyName } from '../../lib/theory';
import { Button } from '../ui/Button';
import { Key } from '../ui/Key';
import type { SongFacts } from './song-list';

/** One song of the list; with what can be done with it, while songs are tended to. */
export function SongRow({
  song,
  address,
  number,
  facts,
  tending,
  busy,
  onCopy,
  onPutAway,
}: {
  readonly song: SongEntry;
  readonly address: string;
  /** The key that opens it; null: none does. */
  readonly number: number | null;
  readonly facts: SongFacts | null;
  readonly tending: boolean;
  readonly busy: boolean;
  readonly onCopy: () => void;
  readonly onPutAway: (away: boolean) => void;
}) {
  const title = song.title || 'A song without a title';
  return (
    <li className="flex flex-wrap items-baseline gap-x-4">
      <span className="flex items-baseline">
        <Link
          href={address}
          data-song={song.id}
          className={`flex min-h-(--touch) items-center leading-tight underline decoration-transparent underline-offset-4 hover:decoration-ink ${song.archived ? 'text-lg text-quiet' : 'text-2xl'}`}
          aria-keyshortcuts={number === null ? undefined : String(number)}
        >
          {title}
        </Link>
        {number !== null && <Key name={String(number)} />}
      </span>
      {facts && (
        <span className="aside">
          {keyName(facts.key)}
          {facts.lastAt !== null && `, last settled ${new Date(facts.lastAt).toISOString().slice(0, 10)}`}
        </span>
      )}
      {tending && (
        <>
          <Button disabled={busy} onPress={onCopy} label={`Copy ${title}`}>
            copy
          </Button>
          <Button
            onPress={() => onPutAway(!song.archived)}
            label={song.archived ? `Bring back ${title}` : `Put away ${title}`}
          >
            {song.archived ? 'bring back' : 'put away'}
          </Button>
        </>
      )}
    </li>
  );
}
