'use client';

import { usePathname, useRouter } from 'next/navigation';
import { startTransition } from 'react';
import { ActionLink, Button } from './ui/Button';
import { ProblemNotice } from './ui/Notice';
import { Title } from './ui/Title';

export default function PageError({
  error,
  reset,
}: {
  readonly error: Error & { readonly digest?: string };
  readonly reset: () => void;
}) {
  const path = usePathname();
  const router = useRouter();
  /** What stopped may have been on the server: it draws the page again too. */
  const again = () =>
    startTransition(() => {
      router.refresh();
      reset();
    });
  const number = error.digest === undefined ? '' : ` (number ${error.digest} in the server’s log)`;
  return (
    <main id="text" className="page">
      <Title of="Could not be shown" />
      <div className="indent pt-6 md:pt-12">
        <h1 className="mb-4 text-3xl">This page could not be shown</h1>
        <ProblemNotice
          problem={{
            what: 'a mistake of ours stopped it',
            where: `the page ${path}${number}`,
            mend: 'show it again; if it stops once more, load the page anew or go home and come back',
          }}
          kept="everything that was shown as kept is kept"
        />
        <div className="flex flex-wrap gap-x-8">
          <Button look="main" shortcut="t" onPress={again}>
            Show it again
          </Button>
          <ActionLink href="/" shortcut="h">
            Go home
          </ActionLink>
        </div>
      </div>
    </main>
  );
}
