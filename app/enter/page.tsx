import { Title } from '../ui/Title';
import { Enter } from './Enter';

export default function EnterPage() {
  return (
    <main id="text" className="page">
      <Title of="Coming in" />
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
