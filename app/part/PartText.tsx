import { type Arrangement, companyIn, cueInWords, type Part } from '../../lib/parts';

/** What a part says before its lines: the song, how this player plays it, how it starts and ends. */
export function Head({ part }: { readonly part: Part }) {
  const { head } = part;
  return (
    <header className="part-head">
      <h1>{head.title}</h1>
      <p>
        <strong>{head.player}</strong>, {head.instrument}
        {head.tuning !== '' && `, ${head.tuning}`}
      </p>
      <p>
        {head.key} · {head.meter} · {head.tempo}, {head.feel}
      </p>
      {head.course.length > 0 && <p>{head.course.join(' ')}</p>}
      {head.chords.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </header>
  );
}

export function Order({ part }: { readonly part: Part }) {
  return (
    <section aria-label="Order of the song" className="part-order">
      <ol>
        {part.order.map((row) => (
          <li key={row.passId}>
            <strong>{row.name}</strong>, {row.bars} {row.bars === 1 ? 'bar' : 'bars'}: {row.role}
            {companyIn(row) !== '' && <span> ({companyIn(row)})</span>}
          </li>
        ))}
      </ol>
    </section>
  );
}

/** The player's own spaces as a list of cues: what is heard just before, what comes after, what to play, what the others do. */
export function Own({ part, arrangement }: { readonly part: Part; readonly arrangement: Arrangement }) {
  return (
    <section className="part-own">
      <h2>Your spaces</h2>
      {part.own.length === 0 ? (
        <p>You have no fills in this song yet.</p>
      ) : (
        <ol>
          {part.own.map((own) => (
            <li key={own.space.id}>
              {cueInWords(own, arrangement, part)}
              {own.others !== '' && <span className="part-others">. {own.others}.</span>}
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}
