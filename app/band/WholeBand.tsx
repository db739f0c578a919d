'use client';

import { useRef } from 'react';
import { useKeys } from '../hooks/useKeys';
import { Key } from '../ui/Key';

/** The way out for all of a band's data: one open file, from which it can be made anew. */
export function WholeBand({ bandId }: { readonly bandId: string }) {
  const link = useRef<HTMLAnchorElement>(null);
  useKeys({ g: () => link.current?.click() });
  return (
    <>
      <p className="max-w-prose">
        Players, songs with all that is settled in them, set lists, figures and remarks, in one file of open
        JSON. Private links are not in it. From the file a band can be made anew on Breathmark’s first page,
        or its songs brought into another band under “Bring in a song”.
      </p>
      <a
        ref={link}
        href={`/api/bands/${bandId}/file`}
        download
        aria-keyshortcuts="g"
        className="plain group inline-flex min-h-(--touch) items-center"
      >
        <span className="underline decoration-edge underline-offset-4 group-hover:decoration-ink">
          Take the whole band along as a file
        </span>
        <Key name="g" />
      </a>
    </>
  );
}
