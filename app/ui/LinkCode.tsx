'use client';

import { useMemo } from 'react';
import { linkCode } from './link-code';

/**
 * A private link for the camera of another device. It is dark on light in both schemes, as cameras read it, and made on this device:
 * what it holds goes to nobody else.
 */
export function LinkCode({ address, forWhom }: { readonly address: string; readonly forWhom: string }) {
  const { edge, path } = useMemo(() => linkCode(address), [address]);
  return (
    <figure className="mt-2">
      <svg
        role="img"
        aria-label={`The link ${forWhom} as a QR code. It holds the same link as the field above it, from which it can be copied.`}
        viewBox={`0 0 ${edge} ${edge}`}
        shapeRendering="crispEdges"
        className="w-full max-w-72 border border-faint"
      >
        <rect width={edge} height={edge} fill="#ffffff" />
        <path d={path} fill="#000000" />
      </svg>
      <figcaption className="aside mt-1 max-w-prose">
        Point the camera of the other device at it, and open the link that it finds. Who can see the code, or
        a picture of it, has the link.
      </figcaption>
    </figure>
  );
}
