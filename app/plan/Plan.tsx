'use client';

import dynamic from 'next/dynamic';
import { type ComponentProps, memo, useRef, useState } from 'react';
import { untilItComes } from '../hooks/untilItComes';
import { Button } from '../ui/Button';

const WhoTakesWhat = dynamic(async () => (await untilItComes(() => import('./WhoTakesWhat'))).WhoTakesWhat, {
  loading: () => <p className="way-open aside">Opening who takes what…</p>,
});

/** The way to who takes what on a board; what it needs is loaded when it is opened. */
export const Plan = memo(function Plan(props: Omit<ComponentProps<typeof WhoTakesWhat>, 'close'>) {
  const [isOpen, setOpen] = useState(false);
  const opener = useRef<HTMLButtonElement>(null);
  const close = () => {
    setOpen(false);
    opener.current?.focus();
  };
  return (
    <>
      <p className="no-print">
        <Button
          ref={opener}
          shortcut="f"
          expanded={isOpen}
          onPress={() => (isOpen ? close() : setOpen(true))}
        >
          Who takes what
        </Button>
      </p>
      {isOpen && <WhoTakesWhat {...props} close={close} />}
    </>
  );
});
