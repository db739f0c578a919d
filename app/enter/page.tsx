import type { Metadata } from 'next';
import { Enter } from './Enter';

export const metadata: Metadata = { title: 'Coming in' };

export default function EnterPage() {
  return (
    <main id="text" className="page">
      <div className="indent pt-6 md:pt-12">
        <h1 className="mb-4 text-3xl">Coming in</h1>
        <Enter />
        <noscript>
          <p>This page needs its scripts to read the private link: allow them and load it again.</p>
        </noscript>
      </div>
    </main>
  );
}
