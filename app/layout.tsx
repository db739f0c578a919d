import './fonts.css';
import './globals.css';
import type { Metadata, Viewport } from 'next';
import { connection } from 'next/server';
import type { ReactNode } from 'react';
import { preload } from 'react-dom';

export const metadata: Metadata = {
  description:
    'A shared board on which an acoustic string band works out who plays what where the singer rests.',
  referrer: 'no-referrer',
  robots: { index: false, follow: false },
};

export const viewport: Viewport = {
  width: 'device-width',
  initialScale: 1,
  colorScheme: 'light dark',
  themeColor: [
    { media: '(prefers-color-scheme: light)', color: '#faf6ee' },
    { media: '(prefers-color-scheme: dark)', color: '#14110d' },
  ],
};

/** What nearly every word is set in: asked for with the page, so that words do not change their width under the reader. */
const FACES = [
  new URL('@fontsource-variable/literata/files/literata-latin-wght-normal.woff2', import.meta.url),
  new URL('@fontsource-variable/source-sans-3/files/source-sans-3-latin-wght-normal.woff2', import.meta.url),
];

export default async function Layout({ children }: { children: ReactNode }) {
  // Every page is drawn when it is asked for: its scripts carry the nonce of that very answer.
  await connection();
  for (const { pathname } of FACES)
    preload(pathname, { as: 'font', type: 'font/woff2', crossOrigin: 'anonymous' });
  return (
    <html lang="en">
      <body>
        <a
          href="#text"
          className="plain no-print absolute left-2 top-2 z-10 -translate-y-20 bg-paper px-3 py-2 underline focus:translate-y-0"
        >
          Go to the text of the page
        </a>
        {children}
      </body>
    </html>
  );
}
