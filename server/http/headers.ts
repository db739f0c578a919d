import type { ServerResponse } from 'node:http';

const HEADERS: readonly (readonly [string, string])[] = [
  ['X-Content-Type-Options', 'nosniff'],
  ['Referrer-Policy', 'same-origin'],
  ['X-Frame-Options', 'DENY'],
  [
    'Content-Security-Policy',
    "frame-ancestors 'none'; base-uri 'self'; form-action 'self'; object-src 'none'",
  ],
  ['Cross-Origin-Opener-Policy', 'same-origin'],
  ['Cross-Origin-Resource-Policy', 'same-origin'],
];

/** The headers of every answer, pages and data alike. */
export function setHeaders(response: ServerResponse): void {
  for (const [name, value] of HEADERS) response.setHeader(name, value);
}
