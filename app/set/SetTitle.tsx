'use client';

import { type FormEvent, useState } from 'react';
import { useOpener } from '../hooks/useOpener';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';

/** The name of a set, changed where it stands. */
export function SetTitle({
  name,
  onRename,
}: {
  readonly name: string;
  /** Null where nothing can be written. */
  readonly onRename: ((name: string) => boolean) | null;
}) {
  const [draft, setDraft] = useState<string | null>(null);
  const opener = useOpener(draft !== null);
  const keep = (event: FormEvent) => {
    event.preventDefault();
    if (draft !== null && draft.trim() !== '' && onRename?.(draft.trim())) setDraft(null);
  };
  return (
    <>
      <h1 className="text-4xl">{name}</h1>
      {onRename &&
        (draft === null ? (
          <Button ref={opener} shortcut="n" onPress={() => setDraft(name)}>
            Rename
          </Button>
        ) : (
          <form onSubmit={keep}>
            <Field label="Name of the set" value={draft} onChange={setDraft} most={120} autoFocus />
            <div className="flex flex-wrap gap-x-8">
              <Button submit look="main" shortcut="Enter" disabled={draft.trim() === ''}>
                Keep it
              </Button>
              <Button shortcut="Escape" onPress={() => setDraft(null)}>
                Leave it
              </Button>
            </div>
          </form>
        ))}
    </>
  );
}
