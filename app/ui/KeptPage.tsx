'use client';

import { usePathname } from 'next/navigation';
import { useEffect } from 'react';
import { ask } from '../hooks/api';
import { type KeepMessage, MARK } from '../sw/names';

/**
 * Keeps the page that it stands on for a time without the server, and looks after what this device holds: bands that
 * it has left go from it. `version` is whatever of the page's first data changes while its address stays.
 */
export function KeptPage({ version = '' }: { readonly version?: string }) {
  const path = usePathname();
  // biome-ignore lint/correctness/useExhaustiveDependencies: the page is kept again when its first data changed
  useEffect(() => {
    if (process.env.NODE_ENV !== 'production' || !('serviceWorker' in navigator)) return;
    // After all that the page itself wants; what fails here only means that it will not be there offline.
    const renew = () => void renewEvenings(path).catch(noMatter);
    const idle = window.setTimeout(() => void lookAfter(path).then(renew), 300);
    window.addEventListener('online', renew);
    return () => {
      window.clearTimeout(idle);
      window.removeEventListener('online', renew);
    };
  }, [path, version]);
  return <span hidden {...{ [MARK]: '' }} />;
}

async function lookAfter(path: string): Promise<void> {
  await sweep().catch(noMatter);
  await keepPage(path).catch(noMatter);
}

async function keepPage(path: string): Promise<void> {
  const { serviceWorker } = navigator;
  await serviceWorker.register('/sw.js');
  const registration = await serviceWorker.ready;
  const loaded = performance.getEntriesByType('resource').map((entry) => entry.name);
  const message: KeepMessage = { kind: 'keep', path, loaded };
  registration.active?.postMessage(message);
}

/** Evenings of the band that were taken along are renewed; but not while one plays, and on the page of a set that page does it. */
async function renewEvenings(path: string): Promise<void> {
  const [, , bandId, ...more] = path.split('/');
  if (bandId === undefined || more.includes('stand') || more.includes('set')) return;
  const renewing = await import('../set/take/renew');
  await renewing.renewEvenings(bandId);
}

/** Bands whose pages or documents lie here, and that the server says this device is not in, go. */
async function sweep(): Promise<void> {
  const { bandsHere, forgetBand } = await import('../sync');
  const here = await bandsHere();
  if (here.size === 0) return;
  const answer = await ask('/api/session', 'session');
  if (!answer.ok) return;
  const still = new Set(answer.value.bands.map((band) => band.bandId));
  for (const bandId of here) if (!still.has(bandId)) await forgetBand(bandId, 'kept');
}

const noMatter = () => {};
