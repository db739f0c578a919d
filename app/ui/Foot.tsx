'use client';

import { turnKeys, useKeysAreOn } from '../hooks/useKeys';
import { Button } from './Button';

/** The end of a page: whether single letters act. */
export function Foot() {
  const on = useKeysAreOn();
  return (
    <footer className="page no-print !pt-0">
      <div className="indent border-t border-faint pt-2">
        <Button onPress={() => turnKeys(!on)}>
          {on ? 'Turn single-letter keys off' : 'Turn single-letter keys on'}
        </Button>
        <p className="aside max-w-prose">
          {on
            ? 'The letter beside an action does the same as pressing it, unless you are typing.'
            : 'Single letters do nothing now; everything can still be reached with Tab and Enter.'}
        </p>
      </div>
    </footer>
  );
}
