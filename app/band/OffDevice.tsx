'use client';

import { usePathname } from 'next/navigation';
import { useEffect } from 'react';
import { bandDocument, type Refusal } from '../../lib/protocol';

/** The server does not show this page of a band to this device any more: what the device held of it goes too. */
export function OffDevice({ code }: { readonly code: Refusal['code'] }) {
  const bandId = /^\/band\/([^/]+)/.exec(usePathname())?.[1];
  useEffect(() => {
    if (bandId === undefined || code === 'not found') return;
    import('../sync').then(({ forgetRefused }) => forgetRefused(bandDocument(bandId), code)).catch(() => {});
  }, [bandId, code]);
  return null;
}
