'use client';

import { type KeyboardEvent, useEffect, useRef } from 'react';
import { passName } from '../../lib/parts';
import type { Song } from '../../lib/song';
import { useKeys } from '../hooks/useKeys';
import { Key } from '../ui/Key';

/** Keys of the first ten passes. */
const keyOf = (index: number): string | null => (index < 9 ? String(index + 1) : index === 9 ? '0' : null);

/** The song's passes in order, each to be jumped to: by touch, by its number, or by the arrows in the open list. */
export function PassList({
  song,
  here,
  isOpen,
  onGo,
  onClose,
}: {
  readonly song: Song;
  /** The passes on the open page. */
  readonly here: readonly string[];
  /** Laid over the page, where it is too narrow for both. */
  readonly isOpen: boolean;
  readonly onGo: (passId: string) => void;
  readonly onClose: () => void;
}) {
  const list = useRef<HTMLOListElement>(null);
  useEffect(() => {
    if (!isOpen) return;
    const buttons = list.current?.querySelectorAll('button');
    (list.current?.querySelector<HTMLElement>('[aria-current]') ?? buttons?.[0])?.focus();
  }, [isOpen]);
  useKeys(
    Object.fromEntries(
      song.passes.flatMap(({ id }, i) => {
        const key = keyOf(i);
        return key === null ? [] : [[key, () => onGo(id)] as const];
      }),
    ),
  );
  useKeys({ Escape: onClose }, isOpen);
  const step = (event: KeyboardEvent) => {
    const by = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
    if (by === 0) return;
    const buttons: readonly HTMLElement[] = [...(list.current?.querySelectorAll('button') ?? [])];
    const at = buttons.findIndex((one) => one.contains(document.activeElement));
    buttons[(at + by + buttons.length) % buttons.length]?.focus();
    event.preventDefault();
  };
  return (
    <nav aria-label="Passes" className="stand-passes" data-open={isOpen}>
      <ol ref={list} onKeyDown={step}>
        {song.passes.map((pass, i) => {
          const key = keyOf(i);
          return (
            <li key={pass.id}>
              <button
                type="button"
                aria-current={here.includes(pass.id) ? 'true' : undefined}
                aria-keyshortcuts={key ?? undefined}
                onClick={() => onGo(pass.id)}
              >
                {passName(song, pass)}
                {key !== null && <Key name={key} />}
              </button>
            </li>
          );
        })}
      </ol>
    </nav>
  );
}
