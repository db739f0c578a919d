'use client';

import { type KeyName, useKeysAreOn } from '../hooks/useKeys';

const NAMES: Readonly<Record<string, string>> = {
  mod: 'Ctrl',
  shift: 'Shift',
  alt: 'Alt',
  Escape: 'Esc',
  ArrowUp: '↑',
  ArrowDown: '↓',
  ArrowLeft: '←',
  ArrowRight: '→',
};

/** `mod+z` as people read it: `Ctrl Z`. */
export function keyText(name: KeyName): string {
  if (name === '+') return name;
  const parts = name.split('+');
  return parts
    .map((part) => NAMES[part] ?? (parts.length > 1 && part.length === 1 ? part.toUpperCase() : part))
    .join(' ');
}

/**
 * The key that does what stands beside it; not shown where there is only touch, nor while something else answers it (its room stays).
 * Screen readers hear it from the action's own `aria-keyshortcuts`.
 */
export function Key({ name, isTaken = false }: { name: KeyName; isTaken?: boolean }) {
  const on = useKeysAreOn();
  if (!on && name.length === 1) return null;
  return (
    <span
      aria-hidden="true"
      className={`no-print for-keys plain ml-2 text-[0.8125rem] text-quiet ${isTaken ? 'invisible' : ''}`}
    >
      <kbd className="font-plain">{keyText(name)}</kbd>
    </span>
  );
}

/** The value for `aria-keyshortcuts`. */
export const shortcutFor = (name: KeyName): string => name.replace('mod', 'Control');
