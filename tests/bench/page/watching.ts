import type { CDPSession, Page } from '@playwright/test';

/** What the page's own instruments noted; in milliseconds of the browser's clock. */
export interface Noted {
  /** From the navigation's start to the first frame in which words of the song stand. */
  readonly words: number | null;
  /** From each key's event to the next frame drawn after it (Event Timing); what took less than 16 ms is not told. */
  readonly keys: readonly number[];
  /** Between frames, while `frames` was on. */
  readonly frames: readonly number[];
  /** Keys of the lines in which something changed, and whether anything did outside of lines, while `changes` was on. */
  readonly lines: readonly string[];
}

declare global {
  interface Window {
    watching: {
      words: number | null;
      keys: number[];
      frames: number[];
      lines: Set<string>;
      stop: () => void;
    };
  }
}

/** Put into every page before its own scripts: notes when words stand, and how long keys take. */
export function watchFromTheStart(): void {
  const noted = {
    words: null as number | null,
    keys: [] as number[],
    frames: [] as number[],
    lines: new Set<string>(),
    stop: () => {},
  };
  window.watching = noted;
  const look = () => {
    const word = document.querySelector('.board .syllable');
    if (word === null || word.getClientRects().length === 0) requestAnimationFrame(look);
    // What stands as a frame begins is drawn by the next one.
    else requestAnimationFrame((drawn) => (noted.words = drawn));
  };
  requestAnimationFrame(look);
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (entry.name === 'keydown') noted.keys.push(entry.duration);
  }).observe({ type: 'event', durationThreshold: 16, buffered: true } as PerformanceObserverInit);
}

/** Notes each frame until stopped. */
export const watchFrames = (page: Page): Promise<void> =>
  page.evaluate(() => {
    let last: number | null = null;
    let isOver = false;
    const frame = (now: number) => {
      if (isOver) return;
      if (last !== null) window.watching.frames.push(now - last);
      last = now;
      requestAnimationFrame(frame);
    };
    window.watching.frames = [];
    window.watching.stop = () => {
      isOver = true;
    };
    requestAnimationFrame(frame);
  });

/** Notes in which lines anything is drawn anew until stopped. */
export const watchChanges = (page: Page): Promise<void> =>
  page.evaluate(() => {
    window.watching.lines = new Set();
    const observer = new MutationObserver((changes) => {
      for (const { target, attributeName } of changes) {
        // Laid out while the page rests, and drawn just as it was.
        if (attributeName === 'data-laid') continue;
        const element = target instanceof Element ? target : target.parentElement;
        const line = element?.closest('[data-line]')?.getAttribute('data-line');
        if (line != null) window.watching.lines.add(line);
        else if (element?.closest('.lines')) window.watching.lines.add('between lines');
      }
    });
    const board = document.querySelector('.board');
    if (board)
      observer.observe(board, { subtree: true, childList: true, attributes: true, characterData: true });
    window.watching.stop = () => observer.disconnect();
  });

export const noted = (page: Page): Promise<Noted> =>
  page.evaluate(() => {
    const { words, keys, frames, lines, stop } = window.watching;
    stop();
    return { words, keys, frames, lines: [...lines] };
  });

/**
 * Seconds of processor time that the page's own thread has taken so far: scripts, styles and layout. Unlike what passes on a
 * clock, it does not grow with what else the machine has to do.
 */
export async function busy(session: CDPSession): Promise<number> {
  const { metrics } = await session.send('Performance.getMetrics');
  return metrics.find((metric) => metric.name === 'TaskDuration')?.value ?? 0;
}
