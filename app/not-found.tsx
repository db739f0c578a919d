import { ActionLink } from './ui/Button';
import { Title } from './ui/Title';

export default function NotFound() {
  return (
    <main id="text" className="page">
      <Title of="Nothing here" />
      <div className="indent pt-6 md:pt-12">
        <h1 className="mb-4 text-3xl">There is nothing at this address</h1>
        <p className="max-w-prose">
          A song or a band may have been taken away, or the address was not copied whole. Nothing of yours was
          changed. Your bands are listed at home; a private link opens a band directly.
        </p>
        <p className="mt-4">
          <ActionLink href="/" look="main" shortcut="h">
            Go home
          </ActionLink>
        </p>
      </div>
    </main>
  );
}
