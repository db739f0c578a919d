'use client';

import { useSyncExternalStore } from 'react';

let openId: string | null = null;
const listeners = new Set<() => void>();

/** Opens one pass's form and closes any other, so that its keys are those of one; null closes it. */
export function openPass(id: string | null): void {
  openId = id;
  for (const listener of listeners) listener();
}

/** Whether a pass's form is the open one. */
export function usePassIsOpen(id: string): boolean {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => openId === id,
    () => false,
  );
}

/** The pass that has the focus, else the first that reaches well into sight; null: there is none. */
export function passInSight(): string | null {
  const passes = [...document.querySelectorAll<HTMLElement>('section.pass[data-pass]')];
  const own = document.activeElement?.closest('section.pass[data-pass]');
  const seen = passes.find((pass) => pass.getBoundingClientRect().bottom > REACH) ?? passes.at(-1);
  return (own ?? seen)?.getAttribute('data-pass') ?? null;
}

/** How far a pass must reach below the window's top to be what one looks at, in pixels. */
const REACH = 160;

/** Takes the keys to a pass's form, or to what opens it. */
export function goToPass(id: string): void {
  const pass = document.querySelector<HTMLElement>(`section.pass[data-pass="${CSS.escape(id)}"]`);
  pass?.querySelector<HTMLElement>('[data-pass-form]')?.focus({ preventScroll: true });
  pass?.scrollIntoView({ block: 'nearest' });
}
