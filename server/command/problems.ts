import type { z } from 'zod';
import type { Problem } from '../../lib/base';

/** What is wrong with a file that has not the shape of its schema: the first thing, and where it stands. */
export function problemOf(error: z.ZodError, file: string): Problem {
  const issue = error.issues[0];
  const path = (issue?.path ?? []).map((step) =>
    typeof step === 'number' ? `entry ${step + 1}` : String(step),
  );
  return {
    what: issue ? issue.message : 'it has not the shape that is asked for',
    where: [file, ...path].join(', '),
    mend: 'mend it there; --help shows the shape',
  };
}
