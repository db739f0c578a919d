'use client';

import { useRouter } from 'next/navigation';
import { useState } from 'react';
import { type ApiProblem, ask } from '../hooks/api';
import { Button } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';

/** The way into the invented band that is there to be looked at. */
export function EnterDemo() {
  const router = useRouter();
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);

  const enter = async () => {
    setBusy(true);
    setProblem(null);
    const answer = await ask('/api/demo/enter', 'entered', {});
    if (answer.ok) {
      router.push(`/band/${answer.value.bandId}`);
      return;
    }
    setBusy(false);
    setProblem(answer.error);
  };

  return (
    <>
      <Button look="main" shortcut="l" disabled={busy} onPress={enter}>
        Look around the demo band
      </Button>
      {problem && <ProblemNotice problem={problem} />}
    </>
  );
}
