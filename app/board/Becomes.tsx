import type { Player } from '../../lib/song';
import type { Substitute } from '../../lib/substitutes';

/** What becomes of a song in a substitute's hands, what does not go first of all. */
export function Becomes({
  substitute,
  from,
  to,
}: {
  readonly substitute: Substitute;
  readonly from: Player;
  readonly to: Player;
}) {
  const { kept, anew, left, cautions, isNothing, writes } = substitute;
  if (isNothing) return <p className="aside">{from.name} has nothing in this song.</p>;
  const { instrument, capo, tuning } = writes.setting;
  const setup = [
    ...(capo > 0 ? [`capo ${capo}`] : []),
    ...(tuning === 'standard' ? [] : [`tuned ${tuning}`]),
  ];
  const said = [
    `${to.name} on ${[instrument, ...setup].join(', ')}.`,
    ...(kept > 0 ? [keptInWords(kept)] : []),
    ...(anew.length > 0 ? [`${count(anew.length, 'fill')} worked out anew.`] : []),
    left.length === 0 ? 'All of it goes.' : 'This does not go:',
  ];
  return (
    <>
      <p>{said.join(' ')}</p>
      <Sentences of={left} />
      {cautions.length > 0 && <p>Then look at:</p>}
      <Sentences of={cautions} />
      {anew.length > 0 && (
        <details>
          <summary className="plain min-h-(--touch) cursor-pointer py-2">What is worked out anew</summary>
          <Sentences of={anew} />
        </details>
      )}
    </>
  );
}

function Sentences({ of }: { readonly of: readonly string[] }) {
  if (of.length === 0) return null;
  return (
    <ul>
      {of.map((each) => (
        <li key={each} className="aside">
          {each.charAt(0).toUpperCase()}
          {each.slice(1)}.
        </li>
      ))}
    </ul>
  );
}

const count = (many: number, what: string): string => (many === 1 ? `One ${what}` : `${many} ${what}s`);
const keptInWords = (kept: number): string =>
  `${count(kept, 'place')} ${kept === 1 ? 'stays' : 'stay'} as ${kept === 1 ? 'it is' : 'they are'}.`;
