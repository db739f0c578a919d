'use client';

import { useId, useState } from 'react';
import type { Band, SetList } from '../../../lib/song';
import { Button } from '../../ui/Button';
import { ProblemNotice, sentence } from '../../ui/Notice';
import { Passage } from '../../ui/Passage';
import { InTheCase } from './InTheCase';
import { type Evening, useEvening } from './useEvening';
import { changesIn, hereInWords, isWhole, progressInWords, STAY_WORDS, shareOf, WORDS } from './words';

/** The evening on this device, for a hall without a network: taken along in one action, told plainly, and taken off in one. */
export function TakeEvening({
  band,
  set,
  you,
}: {
  readonly band: Band;
  readonly set: SetList;
  /** The player at this page; null: a listener, or not said. */
  readonly you: string | null;
}) {
  // What comes along is another where songs come in or go, and where they stand otherwise.
  const evening = useEvening(band.id, set.id, set.entries.map(({ songId }) => songId).join(' '));
  const { can, here, work, problem, stay, said } = evening;
  // Who only looks on may lend the device to anybody.
  const usual = you === null ? band.players.map(({ id }) => id) : [you];
  const [ticked, setTicked] = useState<readonly string[] | null>(null);
  const chosen = band.players
    .map(({ id }) => id)
    .filter((id) => (ticked ?? here?.note.playerIds ?? usual).includes(id));
  if (set.entries.length === 0 && !here) return null;
  return (
    <Passage heading={WORDS.heading}>
      {!here && <p className="max-w-prose">{can === false ? WORDS.cannot : WORDS.what}</p>}
      {here && <Told evening={evening} band={band} />}
      {can && (
        <>
          <Whose band={band} chosen={chosen} disabled={work?.byItself === false} onChoose={setTicked} />
          <Doing evening={evening} chosen={chosen} />
        </>
      )}
      <p role="status" className="mt-2 max-w-prose">
        {said}
      </p>
      {here && stay && <p className="aside max-w-prose">{STAY_WORDS[stay]}</p>}
      {problem && <ProblemNotice problem={problem} />}
    </Passage>
  );
}

/** What is on the device, since when, and what has changed since. */
function Told({ evening: { here, work }, band }: { readonly evening: Evening; readonly band: Band }) {
  if (!here) return null;
  const { note, missing } = here;
  const nameOf = (id: string) => band.players.find((player) => player.id === id)?.name ?? 'somebody';
  const changes = changesIn(note);
  const [first, ...rest] = hereInWords(note, missing, nameOf);
  return (
    <div data-evening={isWhole(note, missing) ? 'whole' : 'in part'} className="max-w-prose">
      <p className="font-semibold">{first}</p>
      {rest.map((text) => (
        <p key={text}>{text}</p>
      ))}
      {!note.isInBand && <p>{WORDS.setGone}</p>}
      {changes.length === 0 ? (
        <p>{note.checkedAt === null ? '' : 'Nothing has changed since you took it.'}</p>
      ) : (
        <details open={changes.length < 4}>
          <summary className="py-2.5">
            Changed since you took it, and renewed here: {changes.map(({ where }) => where).join(', ')}
          </summary>
          <dl>
            {changes.map(({ where, sentences }) => (
              <div key={where} className="mb-2">
                <dt className="font-semibold">{where}</dt>
                {sentences.map((text) => (
                  <dd key={text}>{sentence(text)}</dd>
                ))}
              </div>
            ))}
          </dl>
        </details>
      )}
      {work?.byItself && <p className="aside">Looking what has changed …</p>}
      <InTheCase band={band} note={note} nameOf={nameOf} />
    </div>
  );
}

function Whose({
  band,
  chosen,
  disabled,
  onChoose,
}: {
  readonly band: Band;
  readonly chosen: readonly string[];
  readonly disabled: boolean;
  readonly onChoose: (ids: readonly string[]) => void;
}) {
  const id = useId();
  return (
    <fieldset className="my-4" disabled={disabled} aria-describedby={chosen.length === 0 ? id : undefined}>
      <legend className="plain font-semibold">{WORDS.whose}</legend>
      <div className="flex flex-wrap gap-x-6">
        {band.players.map((player) => (
          <label key={player.id} className="plain flex min-h-(--touch) items-center gap-2">
            <input
              type="checkbox"
              checked={chosen.includes(player.id)}
              onChange={(event) =>
                onChoose(
                  event.target.checked ? [...chosen, player.id] : chosen.filter((each) => each !== player.id),
                )
              }
            />
            {player.name}
          </label>
        ))}
      </div>
      {chosen.length === 0 && (
        <p id={id} className="aside">
          {WORDS.nobody}
        </p>
      )}
    </fieldset>
  );
}

/** The one action that can be done now, how far it is, and the way to have it off again. */
function Doing({
  evening: { here, work, take, stop, takeOff },
  chosen,
}: {
  readonly evening: Evening;
  readonly chosen: readonly string[];
}) {
  const [asksOnceMore, setAsksOnceMore] = useState(false);
  if (work && !work.byItself) {
    return (
      <div className="flex flex-wrap items-center gap-x-6">
        <progress aria-label={WORDS.heading} value={shareOf(work.progress)} max={1} />
        <span className="tabular-nums">{progressInWords(work.progress)}</span>
        <Button shortcut="Escape" onPress={stop}>
          {WORDS.stop}
        </Button>
      </div>
    );
  }
  const off = () => {
    setAsksOnceMore(false);
    takeOff();
  };
  if (asksOnceMore) {
    return (
      <div role="alert">
        <p className="max-w-prose">{WORDS.onceMore}</p>
        <div className="flex flex-wrap gap-x-8">
          <Button onPress={off}>{WORDS.offAllTheSame}</Button>
          <Button shortcut="Escape" onPress={() => setAsksOnceMore(false)}>
            {WORDS.keep}
          </Button>
        </div>
      </div>
    );
  }
  const whole = here !== null && isWhole(here.note, here.missing);
  return (
    <div className="flex flex-wrap items-center gap-x-8">
      <Button shortcut="t" look={whole ? 'words' : 'main'} onPress={() => take(chosen)}>
        {here === null ? WORDS.take : whole ? WORDS.anew : WORDS.rest}
      </Button>
      {here && (
        <Button shortcut="x" onPress={() => (navigator.onLine ? off() : setAsksOnceMore(true))}>
          {WORDS.off}
        </Button>
      )}
    </div>
  );
}
