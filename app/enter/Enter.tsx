'use client';

import { useRouter } from 'next/navigation';
import { useEffect, useRef, useState } from 'react';
import { type ApiProblem, ask } from '../hooks/api';
import { ActionLink, Button } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';

const NO_SECRET: ApiProblem = {
  what: 'This link is not whole: its last part is missing.',
  where: 'The part of the address after the # sign.',
  mend: 'Copy the link that your band gave you once more, to its very end, and open that.',
};

/** Trades a link's secret for a session, once, and takes it out of the address. */
export function Enter() {
  const router = useRouter();
  const secret = useRef<string | null>(null);
  const asked = useRef(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [again, setAgain] = useState(0);

  // biome-ignore lint/correctness/useExhaustiveDependencies: `again` is there to ask once more
  useEffect(() => {
    if (asked.current) return;
    asked.current = true;
    const enter = async (value: string) => {
      const answer = await ask('/api/enter', 'entered', { secret: value });
      if (answer.ok) router.replace(`/band/${answer.value.bandId}`);
      else setProblem(answer.error);
    };
    if (window.location.hash.length > 1) {
      secret.current = decodeURIComponentSafely(window.location.hash.slice(1));
      window.history.replaceState(null, '', window.location.pathname);
    }
    if (secret.current === null) setProblem(NO_SECRET);
    else if (secret.current.length < 16 || secret.current.length > 200) {
      setProblem({ ...NO_SECRET, what: 'This link opens no band: its last part is not one of ours.' });
    } else void enter(secret.current);
  }, [router, again]);

  // A second link opened in the same window changes the fragment only.
  useEffect(() => {
    const onHash = () => {
      if (window.location.hash.length <= 1) return;
      asked.current = false;
      setProblem(null);
      setAgain((count) => count + 1);
    };
    window.addEventListener('hashchange', onHash);
    return () => window.removeEventListener('hashchange', onHash);
  }, []);

  if (!problem) return <p role="status">Opening your band …</p>;
  const couldWork = problem.code === undefined && secret.current !== null && problem !== NO_SECRET;
  return (
    <>
      <ProblemNotice problem={problem} />
      <div className="flex flex-wrap gap-x-8">
        {couldWork && (
          <Button
            look="main"
            shortcut="t"
            onPress={() => {
              asked.current = false;
              setProblem(null);
              setAgain((count) => count + 1);
            }}
          >
            Try once more
          </Button>
        )}
        <ActionLink href="/" shortcut="h">
          Go home
        </ActionLink>
      </div>
    </>
  );
}

function decodeURIComponentSafely(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
