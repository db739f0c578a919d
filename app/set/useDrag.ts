'use client';

import { type PointerEvent, type RefObject, useState } from 'react';

export interface Drag {
  /** What is dragged, and where it would come to stand; null: nothing. */
  readonly moving: { readonly id: string; readonly to: number } | null;
  readonly handle: (id: string) => {
    readonly onPointerDown: (event: PointerEvent<HTMLElement>) => void;
    readonly onPointerMove: (event: PointerEvent<HTMLElement>) => void;
    readonly onPointerUp: () => void;
    readonly onPointerCancel: () => void;
  };
}

/** Moves items of a list by a handle, by mouse, pen or finger; keys do the same elsewhere. */
export function useDrag(
  list: RefObject<HTMLElement | null>,
  onMove: (id: string, toIndex: number) => void,
): Drag {
  const [moving, setMoving] = useState<Drag['moving']>(null);

  /** Where among the other items a height lies. */
  const indexAt = (id: string, y: number): number => {
    const others = [...(list.current?.querySelectorAll<HTMLElement>('[data-entry]') ?? [])].filter(
      (each) => each.dataset.entry !== id,
    );
    return others.filter((each) => {
      const { top, height } = each.getBoundingClientRect();
      return y > top + height / 2;
    }).length;
  };
  const handle: Drag['handle'] = (id) => ({
    onPointerDown: (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      event.currentTarget.setPointerCapture(event.pointerId);
      setMoving({ id, to: indexAt(id, event.clientY) });
    },
    onPointerMove: (event) => {
      if (moving?.id === id) setMoving({ id, to: indexAt(id, event.clientY) });
    },
    onPointerUp: () => {
      if (moving?.id === id) onMove(id, moving.to);
      setMoving(null);
    },
    onPointerCancel: () => setMoving(null),
  });
  return { moving, handle };
}
