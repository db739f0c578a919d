import type { Problem } from '../../lib/base';
import type { Refusal } from '../../lib/protocol';
import { ActionLink } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';
import { Title } from '../ui/Title';
import { OffDevice } from './OffDevice';

/** In place of a page of a band that this device has not entered. */
export function NotYours({ problem }: { readonly problem: Problem | Refusal }) {
  return (
    <main id="text" className="page">
      <Title of="Not to be opened" />
      <div className="indent pt-6 md:pt-12">
        <h1 className="mb-4 text-3xl">This page is a band’s own</h1>
        <ProblemNotice problem={problem} />
        <p className="mt-4">
          <ActionLink href="/" look="main" shortcut="h">
            Go home
          </ActionLink>
        </p>
        {'code' in problem && <OffDevice code={problem.code} />}
      </div>
    </main>
  );
}
