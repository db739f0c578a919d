'use client';

import { useLayoutEffect, useRef, useSyncExternalStore } from 'react';

/** A key as written beside an action: `b`, `Enter`, `mod+z` (Ctrl, or the command key), `shift+ArrowUp`. */
export type KeyName = string;
export const ARROWS = { up: 'ArrowUp', down: 'ArrowDown', left: 'ArrowLeft', right: 'ArrowRight' } as const;
type Handler = (event: KeyboardEvent) => void;

interface Entry {
  readonly keys: ReadonlyMap<KeyName, Handler>;
}

const toBound = (name: KeyName): KeyName => (name === 'space' ? ' ' : name);

/** Entries in the order in which they came; the one that came last answers first. */
const entries: Entry[] = [];
const STORE = 'breathmark.keys';
const listeners = new Set<() => void>();
const entryListeners = new Set<() => void>();

/** Told once, after all that comes and goes at one time has come and gone. */
let isTelling = false;
function tellEntries(): void {
  if (isTelling) return;
  isTelling = true;
  queueMicrotask(() => {
    isTelling = false;
    for (const listener of entryListeners) listener();
  });
}

/** Who answers a key just now; null: nobody. */
const answers = (name: KeyName): Entry | null => entries.findLast(({ keys }) => keys.has(name)) ?? null;

function keyName(event: KeyboardEvent): KeyName {
  const plain = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const shift = event.shiftKey && (event.key.length > 1 || event.ctrlKey || event.metaKey);
  return [event.ctrlKey || event.metaKey ? 'mod' : '', event.altKey ? 'alt' : '', shift ? 'shift' : '', plain]
    .filter((part) => part !== '')
    .join('+');
}

/** What a text field does by itself with Ctrl (or the command key). */
const OF_TEXT = new Set(['a', 'c', 'v', 'x', 'y', 'z', 'shift+z', 'Backspace', 'ArrowLeft', 'ArrowRight']);

/** True where a key writes, chooses or presses something by itself, so that it is not ours. */
function takesKeys(target: EventTarget | null, name: KeyName): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (name.startsWith('mod+') && !OF_TEXT.has(name.slice('mod+'.length))) return false;
  if (target.isContentEditable || target.matches('textarea, select, [role="textbox"]')) return true;
  if (target instanceof HTMLInputElement) {
    const arrows = target.type === 'radio' && name.startsWith('Arrow');
    return arrows || name === 'Enter' || !['checkbox', 'radio', 'button', 'submit'].includes(target.type);
  }
  return (name === 'Enter' || name === ' ') && target.matches('a[href], button, summary');
}

function onKeyDown(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.isComposing) return;
  const name = keyName(event);
  if (name !== 'Escape' && takesKeys(event.target, name)) return;
  if (!name.includes('+') && name.length === 1 && name !== ' ' && !keysAreOn()) return;
  const handler = answers(name)?.keys.get(name);
  if (!handler) return;
  event.preventDefault();
  handler(event);
}

/**
 * Binds keys to actions while the component stands. Keys typed into a text field are left to it (Escape is not),
 * and so are Enter and space on what they press. `keys` may change at every render.
 */
export function useKeys(keys: Readonly<Record<KeyName, Handler>>, active = true): void {
  useBound(keys, active);
}

/**
 * Binds one key to one action, and says whether it stands for this action: false while something that has opened since answers it, so that
 * no key is shown beside an action that it would not do.
 */
export function useOwnKey(name: KeyName | undefined, act: Handler | undefined, active = true): boolean {
  const own = useBound(name === undefined || act === undefined ? {} : { [name]: act }, active);
  return useSyncExternalStore(
    listenToEntries,
    () => {
      if (name === undefined) return true;
      const first = answers(toBound(name));
      return first === null || first === own.current;
    },
    () => true,
  );
}

function listenToEntries(listener: () => void): () => void {
  entryListeners.add(listener);
  return () => entryListeners.delete(listener);
}

/** @returns what is bound now */
function useBound(
  keys: Readonly<Record<KeyName, Handler>>,
  active: boolean,
): { readonly current: Entry | null } {
  const current = useRef(keys);
  const own = useRef<Entry | null>(null);
  useLayoutEffect(() => {
    current.current = keys;
  });
  // With what is drawn, not after it: a key that is pressed as soon as its action is seen is not lost.
  const names = Object.keys(keys).join(' ');
  useLayoutEffect(() => {
    if (!active || names === '') return;
    const bound = names
      .split(' ')
      .map((name): [KeyName, Handler] => [toBound(name), (event) => current.current[name]?.(event)]);
    const entry: Entry = { keys: new Map(bound) };
    if (entries.length === 0) document.addEventListener('keydown', onKeyDown);
    entries.push(entry);
    own.current = entry;
    tellEntries();
    return () => {
      entries.splice(entries.indexOf(entry), 1);
      if (entries.length === 0) document.removeEventListener('keydown', onKeyDown);
      own.current = null;
      tellEntries();
    };
  }, [active, names]);
  return own;
}

/** Whether single letters act. Who speaks to the computer, or rests a hand on the keys, can turn them off. */
export function keysAreOn(): boolean {
  try {
    return localStorage.getItem(STORE) !== 'off';
  } catch {
    return true;
  }
}

export function turnKeys(on: boolean): void {
  try {
    localStorage.setItem(STORE, on ? 'on' : 'off');
  } catch {
    // Without storage they stay on; there is nothing else to tell.
  }
  for (const listener of listeners) listener();
}

export function useKeysAreOn(): boolean {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    keysAreOn,
    () => true,
  );
}
