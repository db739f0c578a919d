'use client';

import dynamic from 'next/dynamic';
import { useId, useState, useSyncExternalStore } from 'react';
import type { LinkGiven } from '../../lib/protocol';
import { untilItComes } from '../hooks/untilItComes';
import { Button } from './Button';

const LinkCode = dynamic(async () => (await untilItComes(() => import('./LinkCode'))).LinkCode, {
  ssr: false,
  loading: () => <p className="aside">Drawing the code …</p>,
});

const WHAT = {
  player: { name: 'For players', may: 'Who has it can change everything in this band.' },
  listener: { name: 'For listeners', may: 'Who has it can read and print, and change nothing.' },
} as const;

const never = () => () => {};

/** A private link at the one moment when it can be read: in full, ready to be copied. */
export function GivenLink({ link }: { readonly link: LinkGiven }) {
  const id = useId();
  const origin = useSyncExternalStore(
    never,
    () => window.location.origin,
    () => '',
  );
  const [said, setSaid] = useState('');
  const [showsCode, setShowsCode] = useState(false);
  const forWhom = WHAT[link.kind].name.toLowerCase();
  const address = `${origin}${link.path}`;

  const copy = async () => {
    try {
      await navigator.clipboard.writeText(address);
      setSaid('Copied.');
    } catch {
      const field = document.getElementById(id);
      if (field instanceof HTMLInputElement) {
        field.focus();
        field.select();
      }
      setSaid('This page may not copy by itself: the link is selected, so copy it with Ctrl C.');
    }
  };

  return (
    <div className="my-4 max-w-2xl">
      <label htmlFor={id} className="plain font-semibold">
        {WHAT[link.kind].name}
      </label>
      <p className="aside">{WHAT[link.kind].may}</p>
      <div className="flex items-center gap-x-4">
        <input
          id={id}
          readOnly
          value={address}
          className="plain min-h-(--touch) min-w-0 flex-1 border-b border-edge bg-transparent px-1 text-ellipsis"
          onFocus={(event) => event.target.select()}
        />
        <Button onPress={copy} label={`Copy the link ${forWhom}`}>
          Copy
        </Button>
      </div>
      <p role="status" className="aside min-h-5">
        {said}
      </p>
      {showsCode ? (
        <>
          <Button
            shortcut="Escape"
            expanded
            onPress={() => setShowsCode(false)}
            label={`Hide the code of the link ${forWhom}`}
          >
            Hide the code
          </Button>
          <LinkCode address={address} forWhom={forWhom} />
        </>
      ) : (
        <Button
          expanded={false}
          onPress={() => setShowsCode(true)}
          label={`Show the link ${forWhom} as a code`}
        >
          Show it as a code
        </Button>
      )}
    </div>
  );
}
