'use client';

import dynamic from 'next/dynamic';
import { type ComponentProps, useState } from 'react';
import { Button } from '../ui/Button';

const WhoTakesWhat = dynamic(async () => (await import('./WhoTakesWhat')).WhoTakesWhat, {
  loading: () => <p className="aside">Opening who takes what…</p>,
});

/** The way to who takes what on a board; what it needs is loaded when it is opened. */
export function Plan(props: Omit<ComponentProps<typeof WhoTakesWhat>, 'close'>) {
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <p className="no-print">
        <Button shortcut="f" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
          Who takes what
        </Button>
      </p>
      {isOpen && <WhoTakesWhat {...props} close={() => setOpen(false)} />}
    </>
  );
}
