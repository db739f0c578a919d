'use client';

import { type Ref, useId, useState } from 'react';
import { Button } from '../../ui/Button';
import { Key } from '../../ui/Key';

/** What a voice sings on the note under the cursor. Enter puts it there, Escape leaves it as it was. */
export function WordField({
  ref,
  word,
  isThere,
  sing,
  leave,
}: {
  readonly ref: Ref<HTMLInputElement>;
  readonly word: string;
  /** False where no note is under the cursor. */
  readonly isThere: boolean;
  readonly sing: (word: string) => void;
  readonly leave: () => void;
}) {
  const id = useId();
  const [text, setText] = useState(word);
  return (
    <form
      className="my-2 flex flex-wrap items-baseline gap-x-4"
      onSubmit={(event) => {
        event.preventDefault();
        sing(text);
      }}
    >
      <label htmlFor={id} className="plain">
        Sung on this note <Key name="w" />
      </label>
      <input
        ref={ref}
        id={id}
        value={text}
        disabled={!isThere}
        maxLength={60}
        className="min-h-(--touch) w-40 border-0 border-b border-edge bg-transparent px-1"
        onChange={(event) => setText(event.target.value)}
        onKeyDown={(event) => {
          if (event.key !== 'Escape') return;
          event.preventDefault();
          event.stopPropagation();
          setText(word);
          leave();
        }}
      />
      <Button submit disabled={!isThere || text.trim() === word}>
        Put it there
      </Button>
    </form>
  );
}
