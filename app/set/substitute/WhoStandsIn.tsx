'use client';

import { type FormEvent, useEffect, useId, useRef, useState } from 'react';
import { INSTRUMENTS, type InstrumentName } from '../../../lib/instruments';
import type { Player } from '../../../lib/song';
import { blankPlayer, initialsFor, SINGS } from '../../band/words';
import { SELECT } from '../../board/SettingRow';
import { newId } from '../../hooks/newId';
import { Button } from '../../ui/Button';
import { Choice, Field } from '../../ui/Field';

/** No player's id is that short. */
const SOMEBODY_NEW = '+';

/** Who is away, and who stands in: a player of the band, or somebody who is added by name and instrument. */
export function WhoStandsIn({
  players,
  isAsked,
  onAsk,
  onChange,
}: {
  readonly players: readonly Player[];
  /** What stands here has been asked about. */
  readonly isAsked: boolean;
  readonly onAsk: (from: Player, to: Player, isNew: boolean, instrument: InstrumentName | null) => void;
  /** Something was changed: what was asked is of no use any more. */
  readonly onChange: () => void;
}) {
  const [fromId, setFrom] = useState('');
  const [toId, setTo] = useState('');
  const [instrument, setInstrument] = useState<InstrumentName | null>(null);
  const [name, setName] = useState('');
  const [sings, setSings] = useState<Player['sings']>('none');
  const [newcomer, setNewcomer] = useState(() => newId());
  const first = useRef<HTMLSelectElement>(null);
  useEffect(() => first.current?.focus(), []);

  const isNew = toId === SOMEBODY_NEW;
  const from = players.find(({ id }) => id === fromId) ?? null;
  const main = from?.instruments[0] ?? 'guitar';
  const to = isNew
    ? newPlayer(newcomer, name, instrument ?? main, sings, players)
    : (players.find(({ id }) => id === toId && id !== fromId) ?? null);
  const offered = isNew ? INSTRUMENTS : (to?.instruments ?? []);
  const change = (act: () => void) => {
    act();
    if (isAsked) {
      // Who was added by what was asked before has that id now.
      setNewcomer(newId());
      onChange();
    }
  };
  const ask = (event: FormEvent) => {
    event.preventDefault();
    if (from && to) onAsk(from, to, isNew, isNew ? null : instrument);
  };
  return (
    <form onSubmit={ask}>
      <div className="flex flex-wrap items-end gap-x-8">
        <Select
          ref={first}
          label="Who is away"
          value={fromId}
          onChange={(id) => change(() => setFrom(id))}
          options={[NOBODY, ...players.map(({ id, name: text }) => ({ value: id, text }))]}
        />
        <Select
          label="Who plays instead"
          value={isNew || to ? toId : ''}
          onChange={(id) =>
            change(() => {
              setTo(id);
              setInstrument(null);
            })
          }
          options={[
            NOBODY,
            ...players.filter(({ id }) => id !== fromId).map(({ id, name: text }) => ({ value: id, text })),
            { value: SOMEBODY_NEW, text: 'somebody new…' },
          ]}
        />
        {(isNew || offered.length > 1) && (
          <Select
            label="On"
            value={instrument ?? (isNew ? main : '')}
            onChange={(value) => change(() => setInstrument(offered.find((one) => one === value) ?? null))}
            options={[
              ...(isNew ? [] : [{ value: '', text: 'what suits each song' }]),
              ...offered.map((text) => ({ value: text, text })),
            ]}
          />
        )}
      </div>
      {isNew && (
        <>
          <Field
            label="Their name"
            value={name}
            onChange={(text) => change(() => setName(text))}
            most={80}
            hint="They are in the band when it is taken, and go out of it again when it is given back."
          />
          <Choice
            label="Sings"
            value={sings}
            options={SINGS}
            onChange={(value) => change(() => setSings(value))}
          />
        </>
      )}
      {!isAsked && (
        <p className="aside">
          Everything of one player’s in all songs of this set goes to another. Nothing is changed before you
          have looked it over.
        </p>
      )}
      {!isAsked && (
        <Button submit look="main" shortcut="Enter" disabled={!from || !to}>
          Work it out
        </Button>
      )}
    </form>
  );
}

const NOBODY = { value: '', text: 'choose' };

function newPlayer(
  id: string,
  name: string,
  instrument: InstrumentName,
  sings: Player['sings'],
  players: readonly Player[],
): Player | null {
  const said = name.trim();
  if (said === '') return null;
  const initials = initialsFor(
    said,
    players.map((player) => player.initials),
  );
  return { ...blankPlayer(id, players, [instrument]), name: said, initials, sings };
}

function Select({
  label,
  value,
  options,
  onChange,
  ref,
}: {
  readonly label: string;
  readonly value: string;
  readonly options: readonly { readonly value: string; readonly text: string }[];
  readonly onChange: (value: string) => void;
  readonly ref?: React.Ref<HTMLSelectElement>;
}) {
  const id = useId();
  return (
    <p className="plain my-2">
      <label htmlFor={id} className="block font-semibold">
        {label}
      </label>
      <select
        ref={ref}
        id={id}
        className={SELECT}
        value={value}
        onChange={({ target }) => onChange(target.value)}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.text}
          </option>
        ))}
      </select>
    </p>
  );
}
