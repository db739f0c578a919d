'use client';

import { useEffect, useRef } from 'react';
import type { Word } from '../../lib/song';
import { Button } from '../ui/Button';
import { sentence } from '../ui/Notice';

export interface WhoseWordProps {
  readonly word: Word;
  readonly act: () => void;
  /** Puts it to the band instead; null: that cannot be put. */
  readonly put: (() => void) | null;
  readonly close: () => void;
}

/** Asks once before somebody settles what is another's word. It is courtesy among people who trust each other, and no lock. */
export function WhoseWord({ word, act, put, close }: WhoseWordProps) {
  const first = useRef<HTMLButtonElement>(null);
  useEffect(() => first.current?.focus(), []);
  const then = (does: () => void) => () => {
    does();
    close();
  };
  return (
    <div className="my-2 border-l-[3px] border-accent pl-3" role="alert">
      <p>{sentence(word.reason.detail)}</p>
      <p className="flex flex-wrap gap-x-8">
        {put && (
          <Button ref={first} shortcut="i" onPress={then(put)}>
            Put it to the band
          </Button>
        )}
        <Button {...(put ? {} : { ref: first })} shortcut="j" onPress={then(act)}>
          Do it all the same
        </Button>
        <Button shortcut="Escape" onPress={close}>
          Not now
        </Button>
      </p>
    </div>
  );
}
