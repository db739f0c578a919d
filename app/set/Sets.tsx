'use client';

import Link from 'next/link';
import { useRouter } from 'next/navigation';
import { type FormEvent, useState } from 'react';
import type { BandEdits } from '../../lib/document';
import type { SetList } from '../../lib/song';
import { useOpener } from '../hooks/useOpener';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';

/** The band's set lists, and a way to a new one. */
export function Sets({
  bandId,
  sets,
  edits,
  whenKept,
}: {
  readonly bandId: string;
  readonly sets: readonly SetList[];
  readonly edits: BandEdits | null;
  readonly whenKept: () => Promise<void>;
}) {
  const router = useRouter();
  const [name, setName] = useState<string | null>(null);
  const opener = useOpener(name !== null);
  const make = async (event: FormEvent) => {
    event.preventDefault();
    const made = edits?.addSet(name ?? '');
    if (!made?.ok) return;
    setName(null);
    // The page of a set is drawn from what the server has.
    await whenKept();
    router.push(`/band/${bandId}/set/${made.value}`);
  };
  return (
    <>
      <ul className="-mt-2">
        {sets.map((set) => (
          <li key={set.id}>
            <Link
              href={`/band/${bandId}/set/${set.id}`}
              className="flex min-h-(--touch) items-center text-xl underline decoration-transparent underline-offset-4 hover:decoration-ink"
            >
              {set.name}
            </Link>
          </li>
        ))}
      </ul>
      {edits &&
        (name === null ? (
          <Button ref={opener} shortcut="s" onPress={() => setName('')}>
            Make a set list
          </Button>
        ) : (
          <form onSubmit={make}>
            <Field label="Name of the set" value={name} onChange={setName} most={120} autoFocus />
            <div className="flex flex-wrap gap-x-8">
              <Button submit look="main" shortcut="Enter" disabled={name.trim() === ''}>
                Make it
              </Button>
              <Button shortcut="Escape" onPress={() => setName(null)}>
                Leave it
              </Button>
            </div>
          </form>
        ))}
    </>
  );
}
