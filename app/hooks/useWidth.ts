'use client';

import { type RefObject, useEffect, useRef, useState } from 'react';

/** Until the page knows how wide something is, it is as wide as on paper. */
const ON_PAPER = 690;
const LEAST = 240;

/** How wide an element is in CSS pixels, as it changes. */
export function useWidth<E extends HTMLElement>(): {
  readonly ref: RefObject<E | null>;
  readonly width: number;
} {
  const ref = useRef<E>(null);
  const [width, setWidth] = useState(ON_PAPER);
  useEffect(() => {
    const element = ref.current;
    if (!element) return;
    const watch = new ResizeObserver(() => setWidth(Math.max(LEAST, element.clientWidth)));
    watch.observe(element);
    return () => watch.disconnect();
  }, []);
  return { ref, width };
}
