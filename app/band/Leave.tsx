'use client';

import { useRouter } from 'next/navigation';
import { type FormEvent, useState } from 'react';
import { type ApiProblem, ask } from '../hooks/api';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { ProblemNotice } from '../ui/Notice';

/** The ways out: off this device, or the end of the whole band, for which its name has to be written. */
export function Leave({
  bandId,
  bandName,
  mayDelete,
}: {
  readonly bandId: string;
  readonly bandName: string;
  readonly mayDelete: boolean;
}) {
  const router = useRouter();
  const [doing, setDoing] = useState<'leave' | 'delete' | null>(null);
  const [name, setName] = useState('');
  const [asked, setAsked] = useState(false);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const fits = name.trim() === bandName.trim();

  const go = async (path: string, body: object) => {
    setBusy(true);
    setProblem(null);
    const answer = await ask(path, 'nothing', body);
    if (answer.ok) {
      const { forgetBand } = await import('../sync');
      await forgetBand(bandId, 'all');
      router.replace('/');
      // What was drawn for somebody in the band must not be shown again.
      router.refresh();
      return;
    }
    setBusy(false);
    setProblem(answer.error);
  };
  const remove = (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (fits) void go(`/api/bands/${bandId}/delete`, { name });
  };
  const stop = () => {
    setDoing(null);
    setName('');
    setAsked(false);
    setProblem(null);
  };

  return (
    <>
      {doing === null && (
        <div className="flex flex-wrap gap-x-8">
          <Button onPress={() => setDoing('leave')}>Leave the band on this device …</Button>
          {mayDelete && <Button onPress={() => setDoing('delete')}>Delete the band …</Button>}
        </div>
      )}
      {doing === 'leave' && (
        <>
          <p className="max-w-prose">
            This device forgets the band; nothing of the band is lost. To come back you need a private link.
          </p>
          <div className="flex flex-wrap gap-x-8">
            <Button look="main" disabled={busy} onPress={() => go('/api/leave', { bandId })}>
              Leave it
            </Button>
            <Button shortcut="Escape" onPress={stop}>
              Stay
            </Button>
          </div>
        </>
      )}
      {doing === 'delete' && (
        <form onSubmit={remove} noValidate>
          <p className="max-w-prose">
            Its songs, players and links are gone for everybody, at once and for good: nobody can bring them
            back.
          </p>
          <Field
            label={`To delete it, write its name: ${bandName}`}
            value={name}
            onChange={setName}
            most={200}
            autoFocus
            problem={asked && !fits ? 'That is not its name; nothing was deleted.' : null}
          />
          <div className="flex flex-wrap gap-x-8">
            <Button submit look="main" disabled={busy}>
              Delete the band for everybody
            </Button>
            <Button shortcut="Escape" onPress={stop}>
              Keep the band
            </Button>
          </div>
        </form>
      )}
      {problem && <ProblemNotice problem={problem} />}
    </>
  );
}
