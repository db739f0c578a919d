import type { Problem } from '../../lib/base';

/** What happened, where, and what to do: said at once to who cannot see it. */
export function ProblemNotice({ problem, kept }: { readonly problem: Problem; readonly kept?: string }) {
  return (
    <div role="alert" className="my-4 max-w-prose border-l-2 border-accent pl-4">
      <p className="font-semibold">{sentence(problem.what)}</p>
      {problem.where !== '' && <p className="aside">Where: {problem.where}</p>}
      {kept !== undefined && <p>{sentence(kept)}</p>}
      <p>{sentence(problem.mend)}</p>
    </div>
  );
}

/** A clause as a sentence: a capital at its start, a full stop at its end. */
export function sentence(clause: string): string {
  const text = clause.trim();
  if (text === '') return '';
  const begun = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?…:]["”’)]?$/.test(begun) ? begun : `${begun}.`;
}
