'use client';

import { useEffect, useRef } from 'react';
import type { BandMade } from '../../lib/protocol';
import { ActionLink } from '../ui/Button';
import { GivenLink } from '../ui/GivenLink';

/** A band that was just made: its private links, at the one moment when they can be read, and the way to it. */
export function MadeBand({
  made,
  name,
  you,
}: {
  readonly made: BandMade;
  readonly name: string;
  readonly you: string;
}) {
  const links = useRef<HTMLDivElement>(null);
  // The form is gone: who works by keyboard or by ear goes on where the links are.
  useEffect(() => links.current?.focus(), []);
  return (
    <div role="status" ref={links} tabIndex={-1} className="outline-none">
      <p className="max-w-prose">
        <strong>{name}</strong> is there, and you are in it on this device{you}. Give these links to the
        others; they are shown only now, but you can make new ones on the band’s page.
      </p>
      <GivenLink link={made.links.player} />
      <GivenLink link={made.links.listener} />
      <p className="mt-4">
        <ActionLink look="main" href={`/band/${made.bandId}`} shortcut="g">
          Go to the band
        </ActionLink>
      </p>
    </div>
  );
}
