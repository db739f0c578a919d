'use client';

import { useEffect, useState } from 'react';

export type Wake = 'asking' | 'awake' | 'cannot';

/** Keeps the screen lit while the component stands and the page is seen. Says whether the device does it. */
export function useWakeLock(): Wake {
  const [wake, setWake] = useState<Wake>('asking');
  useEffect(() => {
    let isOver = false;
    let lock: WakeLockSentinel | null = null;
    const ask = async () => {
      if (document.visibilityState !== 'visible' || (lock && !lock.released)) return;
      try {
        if (!('wakeLock' in navigator)) throw new Error('the device has no such wish');
        const got = await navigator.wakeLock.request('screen');
        if (isOver) return void got.release();
        lock = got;
        setWake('awake');
        // The device may take it back, to save its battery; asked for again when the page is seen again.
        got.addEventListener('release', () => {
          if (!isOver && document.visibilityState === 'visible') setWake('cannot');
        });
      } catch {
        if (!isOver) setWake('cannot');
      }
    };
    const again = () => void ask();
    void ask();
    document.addEventListener('visibilitychange', again);
    return () => {
      isOver = true;
      document.removeEventListener('visibilitychange', again);
      void lock?.release();
    };
  }, []);
  return wake;
}
