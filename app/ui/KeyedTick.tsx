'use client';

import type { ReactNode } from 'react';
import { type KeyName, useKeys } from '../hooks/useKeys';
import { Key } from './Key';

/** A choice that a key turns on and off. */
export function KeyedTick({
  name,
  isOn,
  set,
  children,
}: {
  readonly name: KeyName;
  readonly isOn: boolean;
  readonly set: (isOn: boolean) => void;
  readonly children: ReactNode;
}) {
  useKeys({ [name]: () => set(!isOn) });
  return (
    <label className="plain flex min-h-(--touch) items-center gap-2">
      <input
        type="checkbox"
        checked={isOn}
        aria-keyshortcuts={name}
        onChange={(event) => set(event.target.checked)}
      />
      <span>
        {children}
        <Key name={name} />
      </span>
    </label>
  );
}
