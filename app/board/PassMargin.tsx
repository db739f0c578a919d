'use client';

import dynamic from 'next/dynamic';
import type { SongEdits } from '../../lib/document';
import type { Band, Pass, Song } from '../../lib/song';
import { untilItComes } from '../hooks/untilItComes';
import { useKeys } from '../hooks/useKeys';
import { Button } from '../ui/Button';
import type { TalkInMargin } from './look';
import { goToPass, openPass, passInSight, usePassIsOpen } from './open-pass';
import { SaidMark } from './SaidMark';
import { saidInWords } from './said-words';

/** Bound nowhere else on the board, whatever is open. */
const PASS_KEY = '%';

/** Loaded when it is asked for. */
const PassForm = dynamic(async () => (await untilItComes(() => import('./PassForm'))).PassForm);

/** What stands under a pass's name: how long it is, who sings, who has the break; and who does what, to be changed. */
export function PassMargin({
  song,
  pass,
  band,
  edits,
  others,
  bars,
  index,
  count,
  stanzas,
  backup,
  name,
  talk,
  onTalk,
}: {
  readonly song: Song;
  readonly pass: Pass;
  readonly band: Band;
  readonly edits: SongEdits | null;
  readonly others: string;
  readonly bars: number;
  /** Where it stands among the passes, and how many there are. */
  readonly index: number;
  readonly count: number;
  /** How many stanzas of words its section has. */
  readonly stanzas: number;
  readonly backup: { readonly isOpen: boolean; readonly toggle: () => void };
  readonly name: string;
  readonly talk: TalkInMargin;
  readonly onTalk: () => void;
}) {
  const isOpen = usePassIsOpen(pass.id);
  // One key for the whole board: it opens the pass that one looks at.
  useKeys({ [PASS_KEY]: openInSight }, index === 0 && edits !== null);
  return (
    <>
      <p className="aside">
        {bars} {bars === 1 ? 'bar' : 'bars'}
        {others !== '' && <>. {others}</>}
      </p>
      {edits && (
        <div className="no-print">
          <Button sharedKey={PASS_KEY} expanded={isOpen} onPress={() => openPass(isOpen ? null : pass.id)}>
            roles and order
          </Button>
        </div>
      )}
      <div className="no-print">
        <Button expanded={backup.isOpen} onPress={backup.toggle}>
          backup
        </Button>
      </div>
      {(edits !== null || talk.said > 0) && (
        <div className="no-print" data-waits={talk.waits}>
          <button
            type="button"
            className="pass-said plain"
            data-talk={pass.id}
            aria-label={talk.said === 0 ? `Say something about ${name}` : `${saidInWords(talk)} of ${name}`}
            aria-expanded={talk.isOpen}
            onClick={onTalk}
          >
            {talk.waits && <SaidMark />}
            <span>{talk.said === 0 ? 'say something' : talk.waits ? 'not answered yet' : 'said'}</span>
          </button>
        </div>
      )}
      {isOpen && edits && (
        <PassForm
          song={song}
          pass={pass}
          band={band}
          edits={edits}
          index={index}
          count={count}
          stanzas={stanzas}
        />
      )}
    </>
  );
}

function openInSight(): void {
  const id = passInSight();
  openPass(id);
  if (id !== null) goToPass(id);
}
