'use client';

import { useState } from 'react';
import { type Band, lastRemark, remarkInWords, type SetList } from '../../lib/song';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';

/** How the songs of a set went: a line each, solid or shaky. It is seen next time, and a shaky song opens no set if it can be helped. */
export function AfterGig({
  set,
  band,
  titleOf,
  onSay,
  onTakeBack,
}: {
  readonly set: SetList;
  readonly band: Band;
  /** By the song's id. */
  readonly titleOf: (songId: string) => string;
  readonly onSay: (songId: string, text: string, solid: boolean) => boolean;
  readonly onTakeBack: (remarkId: string) => void;
}) {
  const songs = [...new Set(set.entries.map(({ songId }) => songId))];
  return (
    <ol aria-label="How each song went">
      {songs.map((songId) => {
        const last = lastRemark(band, songId);
        return (
          <li key={songId} className="mb-2 border-b border-faint pb-2">
            <SongWent title={titleOf(songId)} onSay={(text, solid) => onSay(songId, text, solid)} />
            {last && (
              <p className="aside flex flex-wrap items-baseline gap-x-4">
                <span>{remarkInWords(last, band.players)}</span>
                <Button
                  label={`Take back what was said last of ${titleOf(songId)}`}
                  onPress={() => onTakeBack(last.id)}
                >
                  take back
                </Button>
              </p>
            )}
          </li>
        );
      })}
    </ol>
  );
}

function SongWent({
  title,
  onSay,
}: {
  readonly title: string;
  readonly onSay: (text: string, solid: boolean) => boolean;
}) {
  const [text, setText] = useState('');
  const say = (solid: boolean) => {
    if (onSay(text, solid)) setText('');
  };
  return (
    <div className="flex flex-wrap items-end gap-x-6">
      <div className="grow">
        <Field label={title} value={text} onChange={setText} most={500} />
      </div>
      <Button label={`${title} was solid`} onPress={() => say(true)}>
        solid
      </Button>
      <Button label={`${title} was shaky`} onPress={() => say(false)}>
        shaky
      </Button>
    </div>
  );
}
