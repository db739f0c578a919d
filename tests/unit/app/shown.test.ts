import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import * as Y from 'yjs';
import { shownOf } from '@/app/hooks/shown';

// A page's clock stands still here until it is told to draw.
let frames: (() => void)[] = [];
beforeEach(() => {
  vi.useFakeTimers();
  frames = [];
  vi.stubGlobal('window', globalThis);
  vi.stubGlobal('requestAnimationFrame', (act: () => void) => frames.push(act));
  vi.stubGlobal('cancelAnimationFrame', (frame: number) => {
    frames[frame - 1] = () => {};
  });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

function draw(): void {
  for (const act of frames.splice(0)) act();
  vi.advanceTimersByTime(1);
}

type Words = readonly string[];
const read = (doc: Y.Doc): Words => {
  const now = doc.getArray<string>('words').toArray();
  const known = readings.get(doc);
  if (known && known.join() === now.join()) return known;
  readings.set(doc, now);
  return now;
};
const readings = new WeakMap<Y.Doc, Words>();
const watch = (doc: Y.Doc, listener: (reading: Words) => void) => {
  const after = () => listener(read(doc));
  doc.on('afterTransaction', after);
  return () => doc.off('afterTransaction', after);
};

function page() {
  const doc = new Y.Doc();
  const other = new Y.Doc();
  const shown = shownOf(doc, read, watch);
  let looks = 0;
  const whose: string[] = [];
  const leave = shown.subscribe((one) => {
    looks += 1;
    whose.push(one);
  });
  return {
    shown,
    leave,
    looks: () => looks,
    whose,
    write: (word: string) => doc.getArray<string>('words').push([word]),
    hear: (word: string) => {
      other.getArray<string>('words').push([word]);
      Y.applyUpdate(doc, Y.encodeStateAsUpdate(other));
    },
  };
}

describe('what a page shows of a document', () => {
  it('is one’s own edit at once', () => {
    const { shown, looks, write } = page();
    write('mine');
    expect(shown.snapshot()).toEqual(['mine']);
    expect(looks()).toBe(1);
  });

  it('is what others did, all of it together, after the next frame and no sooner', () => {
    const { shown, looks, hear } = page();
    const before = shown.snapshot();
    hear('one');
    hear('two');
    hear('three');
    expect(shown.snapshot()).toBe(before);
    expect(looks()).toBe(0);
    draw();
    expect(shown.snapshot()).toEqual(['one', 'two', 'three']);
    expect(looks()).toBe(1);
    hear('four');
    draw();
    expect(shown.snapshot()).toEqual(['one', 'two', 'three', 'four']);
    expect(looks()).toBe(2);
  });

  it('brings what waits along with an edit of one’s own, and not once more', () => {
    const { shown, looks, hear, write } = page();
    hear('theirs');
    write('mine');
    expect([...shown.snapshot()].sort()).toEqual(['mine', 'theirs']);
    draw();
    expect(looks()).toBe(1);
  });

  it('tells whose it is: one’s own is waited for, even where others’ comes along with it', () => {
    const { whose, hear, write } = page();
    hear('theirs');
    draw();
    hear('more of theirs');
    write('mine');
    expect(whose).toEqual(['others', 'own']);
  });

  it('comes in a page out of sight too, which draws nothing', () => {
    const { shown, hear } = page();
    hear('theirs');
    vi.advanceTimersByTime(1000);
    expect(shown.snapshot()).toEqual(['theirs']);
  });

  it('is told to nobody who left', () => {
    const { looks, hear, leave } = page();
    hear('theirs');
    leave();
    draw();
    vi.advanceTimersByTime(1000);
    expect(looks()).toBe(0);
  });

  it('is all that came before somebody looked', () => {
    const doc = new Y.Doc();
    const shown = shownOf(doc, read, watch);
    doc.getArray<string>('words').push(['early']);
    shown.subscribe(() => {});
    expect(shown.snapshot()).toEqual(['early']);
  });
});
