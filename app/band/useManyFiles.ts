'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { SongRead } from '../../lib/exchange';
import { ask } from '../hooks/api';
import { brokenReading, type Running, readInWorker } from '../hooks/readInWorker';
import { CANNOT_MIX } from './from-file-words';
import { decodeText, fileTooLarge, isBandFile, isTextFile, tooLarge } from './song-file';

/** What has become of one of several files. */
export type FileState =
  | { readonly state: 'waiting' | 'reading' | 'stopped' }
  | { readonly state: 'read' | 'bringing'; readonly read: SongRead; readonly tunes: number }
  | { readonly state: 'in'; readonly title: string; readonly songId: string }
  | {
      readonly state: 'failed';
      readonly problem: Problem;
      readonly read: SongRead | null;
      readonly tunes: number;
    };

export interface OneFile {
  readonly file: File;
  readonly is: FileState;
}

async function sourceOf(file: File) {
  const bytes = await file.arrayBuffer();
  return isTextFile(file.name) ? decodeText(bytes) : { name: file.name, bytes: new Uint8Array(bytes) };
}

const refusalOf = ({ name, size }: File): Problem | null => {
  if (isBandFile(name)) return { ...CANNOT_MIX, where: name };
  return isTextFile(name) ? tooLarge(size, name) : fileTooLarge(size, name);
};

/** Reads several files one after another, and brings in those that could be read; either can be stopped. */
export function useManyFiles(bandId: string) {
  const [files, setFiles] = useState<readonly OneFile[]>([]);
  const running = useRef<Running | null>(null);
  /** Counts what was begun: what an older beginning still says does not count. */
  const round = useRef(0);

  const set = useCallback((at: number, is: FileState) => {
    setFiles((now) => now.map((one, i) => (i === at ? { ...one, is } : one)));
  }, []);

  const stop = useCallback(() => {
    round.current += 1;
    running.current?.stop();
    running.current = null;
    setFiles((now) =>
      now.map((one): OneFile => {
        if (one.is.state === 'bringing') return { ...one, is: { ...one.is, state: 'read' } };
        const pending = one.is.state === 'waiting' || one.is.state === 'reading';
        return pending ? { ...one, is: { state: 'stopped' } } : one;
      }),
    );
  }, []);
  useEffect(() => stop, [stop]);

  const readAll = useCallback(
    async (chosen: readonly File[]) => {
      stop();
      const mine = round.current;
      const isOver = () => round.current !== mine;
      setFiles(chosen.map((file) => ({ file, is: { state: 'waiting' } })));
      for (const [i, file] of chosen.entries()) {
        const failed = (problem: Problem) => set(i, { state: 'failed', problem, read: null, tunes: 0 });
        const refusal = refusalOf(file);
        if (refusal) {
          failed(refusal);
          continue;
        }
        set(i, { state: 'reading' });
        try {
          const source = await sourceOf(file);
          if (isOver()) return;
          const title = file.name.replace(/\.[^.]*$/, '');
          running.current = readInWorker({ source, title, which: null });
          const { result, tunes } = await running.current.answer;
          if (isOver()) return;
          if (result.ok) set(i, { state: 'read', read: result.value, tunes: tunes.length });
          else failed(result.error);
        } catch {
          if (isOver()) return;
          failed(brokenReading(file.name));
        }
      }
    },
    [set, stop],
  );

  const bringIn = useCallback(async () => {
    round.current += 1;
    const mine = round.current;
    for (const [i, { is }] of files.entries()) {
      if (round.current !== mine) return;
      if ((is.state !== 'read' && is.state !== 'failed') || is.read === null) continue;
      const { read, tunes } = is;
      set(i, { state: 'bringing', read, tunes });
      const answer = await ask(`/api/bands/${bandId}/songs`, 'songMade', { song: read.song });
      set(
        i,
        answer.ok
          ? { state: 'in', title: read.song.title, songId: answer.value.songId }
          : { state: 'failed', problem: answer.error, read, tunes },
      );
    }
  }, [bandId, files, set]);

  return { files, readAll, bringIn, stop, forget: useCallback(() => setFiles([]), []) };
}
