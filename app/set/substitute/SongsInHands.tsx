import type { Problem } from '../../../lib/base';
import type { Player } from '../../../lib/song';
import { Becomes } from '../../board/Becomes';
import { sentence } from '../../ui/Notice';
import type { EveningState, SongState } from './states';
import { WAITING } from './words';

/** The evening to look over, song by song: what goes, what does not and why, what was taken. */
export function SongsInHands({
  songs,
  from,
  to,
  titleOf,
}: {
  readonly songs: EveningState['songs'];
  readonly from: Player;
  readonly to: Player;
  readonly titleOf: (songId: string) => string;
}) {
  return (
    <ol aria-label="What becomes of each song">
      {songs.map(({ songId, state }) => (
        <li key={songId} className="border-faint border-b py-2">
          <h3 className="font-semibold">{titleOf(songId)}</h3>
          <OneSong state={state} from={from} to={to} />
        </li>
      ))}
    </ol>
  );
}

function OneSong({
  state,
  from,
  to,
}: {
  readonly state: SongState;
  readonly from: Player;
  readonly to: Player;
}) {
  switch (state.kind) {
    case 'worked out':
      return (
        <>
          <Becomes substitute={state.substitute} from={from} to={to} />
          {state.substitute.isNothing && state.before !== null && (
            <p className="aside">
              {sentence(`How it was before ${to.name} stood in is kept, and can go back to ${from.name}`)}
            </p>
          )}
        </>
      );
    case 'taken':
      return (
        <>
          <p>{to.name} has it. How it was before is kept under ‘as agreed on’.</p>
          {state.substitute.left.length > 0 && <Becomes substitute={state.substitute} from={from} to={to} />}
          {state.problem && <Why problem={state.problem} />}
        </>
      );
    case 'given back':
      return <p>{from.name} has it again.</p>;
    case 'out of reach':
    case 'failed':
      return <Why problem={state.problem} />;
    default:
      return <p className="aside">{WAITING[state.kind]}</p>;
  }
}

function Why({ problem: { what, mend } }: { readonly problem: Problem }) {
  return (
    <p className="text-accent">
      {sentence(what)} {sentence(mend)}
    </p>
  );
}
