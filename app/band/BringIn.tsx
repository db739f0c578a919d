'use client';

import { useRouter } from 'next/navigation';
import { type DragEvent, lazy, Suspense, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { BandPage } from '../../lib/protocol';
import type { Band, Song } from '../../lib/song';
import { ask } from '../hooks/api';
import { untilItComes } from '../hooks/untilItComes';
import { useReadSong } from '../hooks/useReadSong';
import { ActionLink, Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { Foot } from '../ui/Foot';
import { ProblemNotice } from '../ui/Notice';
import { Passage } from '../ui/Passage';
import { EXAMPLE } from './example-tune';
import { ManyFiles } from './ManyFiles';
import { Reading } from './Reading';
import { decodeText, fileTooLarge, isBandFile, isTextFile, tooLarge } from './song-file';
import { useManyFiles } from './useManyFiles';

const FromBandFile = lazy(async () => ({
  default: (await untilItComes(() => import('./FromBandFile'))).FromBandFile,
}));

/** Brings a song in: choose a file, drop it, or paste its text; see what was read; then it is the band's. */
export function BringIn({
  band,
  you,
  endings,
}: {
  /** As the page first got it. */
  readonly band: Band;
  readonly you: BandPage['you'];
  /** Endings of the files that are read. */
  readonly endings: readonly string[];
}) {
  const router = useRouter();
  const { id: bandId, name: bandName } = band;
  const [text, setText] = useState('');
  const [fileName, setFileName] = useState<string | null>(null);
  /** A score or a MIDI file, which is not shown as text. */
  const [held, setHeld] = useState<{ readonly name: string; readonly bytes: Uint8Array } | null>(null);
  /** A band file, whose songs are chosen from. */
  const [bandFile, setBandFile] = useState<File | null>(null);
  const [title, setTitle] = useState('');
  const [problem, setProblem] = useState<Problem | null>(null);
  const [busy, setBusy] = useState(false);
  const [over, setOver] = useState(false);
  const box = useRef<HTMLTextAreaElement>(null);
  const chooser = useRef<HTMLInputElement>(null);
  const chooseFiles = useRef<HTMLButtonElement>(null);
  const result = useRef<HTMLDivElement>(null);
  const { reading, read, stop, forget } = useReadSong();
  const many = useManyFiles(bandId);

  // What was pasted or chosen before the scripts were there stands in its field, and no event told of it.
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, as the page comes to life
  useEffect(() => {
    const pasted = box.current?.value ?? '';
    const chosen = [...(chooser.current?.files ?? [])];
    if (pasted !== '') setText(pasted);
    else if (chosen.length > 0) takeAll(chosen);
  }, []);

  useEffect(() => {
    if (reading.state !== 'done') return;
    setTitle(reading.read.song.title);
    result.current?.focus();
  }, [reading]);

  const start = (
    source: string | { readonly name: string; readonly bytes: Uint8Array },
    name: string | null,
    which: number | null = null,
  ) => {
    setProblem(null);
    const refusal = typeof source === 'string' ? tooLarge(source.length, name) : null;
    if (refusal) return setProblem(refusal);
    read({ source, title: name?.replace(/\.[^.]*$/, '') ?? 'A song without a title', which });
  };
  const takeAll = (files: readonly File[]) => {
    setProblem(null);
    forget();
    setHeld(null);
    setBandFile(null);
    if (files.length > 1) void many.readAll(files);
    else void take(files[0]);
  };
  const take = async (file: File | undefined) => {
    if (!file) return;
    many.forget();
    if (isBandFile(file.name)) return setBandFile(file);
    const asText = isTextFile(file.name);
    const refusal = asText ? tooLarge(file.size, file.name) : fileTooLarge(file.size, file.name);
    if (refusal) return setProblem(refusal);
    try {
      const bytes = await file.arrayBuffer();
      if (!asText) {
        const score = { name: file.name, bytes: new Uint8Array(bytes) };
        setHeld(score);
        setFileName(file.name);
        return start(score, file.name);
      }
      const source = decodeText(bytes);
      setText(source);
      setFileName(file.name);
      start(source, file.name);
    } catch {
      setProblem({
        what: 'the file could not be opened',
        where: file.name,
        mend: 'see that it is still where it was, then choose it again',
      });
    }
  };
  const onDrop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    takeAll([...event.dataTransfer.files]);
  };
  const bringIn = async (song: Song) => {
    setBusy(true);
    setProblem(null);
    const named = { ...song, title: title.trim() || 'A song without a title' };
    const answer = await ask(`/api/bands/${bandId}/songs`, 'songMade', { song: named });
    if (answer.ok) return router.push(`/band/${bandId}/song/${answer.value.songId}`);
    setBusy(false);
    setProblem(answer.error);
  };
  /** Puts the cursor where something was found. */
  const goTo = (line: number, column: number) => {
    const lines = text.split('\n');
    const before = lines.slice(0, line - 1).reduce((sum, each) => sum + each.length + 1, 0);
    const at = Math.min(text.length, before + column - 1);
    box.current?.focus();
    box.current?.setSelectionRange(at, Math.min(text.length, at + 1));
  };

  const done = reading.state === 'done';
  return (
    <>
      <main id="text" className="page">
        <header className="indent pt-2">
          <nav aria-label="Where you are">
            <ActionLink href={`/band/${bandId}`} shortcut="b" label={`Back to ${bandName}`}>
              {bandName}
            </ActionLink>
          </nav>
          <h1 className="text-4xl">Bring in a song</h1>
        </header>

        <Passage heading="The song as text" rule={false}>
          {/* biome-ignore lint/a11y/noStaticElementInteractions: a file can be dropped here; the button beside does the same */}
          <div
            onDragOver={(event) => {
              event.preventDefault();
              setOver(true);
            }}
            onDragLeave={() => setOver(false)}
            onDrop={onDrop}
          >
            <label htmlFor="song-text" className="max-w-prose">
              Paste the tune in ABC, or its words with their chords in lines above them; or choose one file or
              several ({endings.join(', ')}), or drop them here. Of a band file you choose the songs.
            </label>
            <textarea
              ref={box}
              id="song-text"
              rows={14}
              spellCheck={false}
              value={text}
              onChange={(event) => {
                setText(event.target.value);
                setFileName(null);
                setHeld(null);
                setBandFile(null);
                setProblem(null);
                forget();
              }}
              className={`mt-2 block w-full resize-y border-y bg-transparent px-1 py-2 font-mono text-[0.9375rem] leading-normal ${over ? 'border-ink' : 'border-edge'}`}
            />
          </div>
          <input
            ref={chooser}
            type="file"
            accept={[...endings, 'text/plain', 'text/vnd.abc', 'audio/midi'].join(',')}
            className="sr-only"
            multiple
            tabIndex={-1}
            aria-label="Song files"
            onChange={(event) => {
              takeAll([...(event.target.files ?? [])]);
              event.target.value = '';
            }}
          />
          <div className="flex flex-wrap gap-x-8">
            {!done && bandFile === null && (
              <Button
                look="main"
                shortcut="mod+Enter"
                disabled={(held === null && text.trim() === '') || reading.state === 'working'}
                onPress={() => start(held ?? text, fileName)}
              >
                Read it
              </Button>
            )}
            <Button ref={chooseFiles} shortcut="f" onPress={() => chooser.current?.click()}>
              Choose files
            </Button>
            {text === '' && (
              <Button
                shortcut="e"
                onPress={() => {
                  setText(EXAMPLE);
                  setHeld(null);
                  setBandFile(null);
                  setFileName(null);
                  forget();
                }}
              >
                Put in a short example
              </Button>
            )}
          </div>
          {reading.state === 'working' && (
            <div className="my-4 flex flex-wrap items-center gap-x-6">
              <p role="status">
                Reading {fileName ?? 'the text'} … {reading.seconds > 1 && `${reading.seconds} seconds`}
              </p>
              <progress aria-label="Reading" />
              <Button shortcut="Escape" onPress={stop}>
                Stop
              </Button>
            </div>
          )}
          {reading.state === 'stopped' && (
            <p role="status">{held ? 'Stopped.' : 'Stopped. The text is still in the box.'}</p>
          )}
          {reading.state === 'failed' && (
            <ProblemNotice
              problem={reading.problem}
              kept={held ? 'nothing was brought in' : 'the text is still in the box; nothing was brought in'}
            />
          )}
          {problem && (
            <ProblemNotice problem={problem} kept="nothing was brought in; what you wrote is still here" />
          )}
        </Passage>

        {bandFile && (
          <Suspense fallback={<p role="status">Opening {bandFile.name} …</p>}>
            <FromBandFile
              key={`${bandFile.name} ${bandFile.size} ${bandFile.lastModified}`}
              file={bandFile}
              initial={band}
              you={you}
              forget={() => {
                setBandFile(null);
                chooseFiles.current?.focus();
              }}
            />
          </Suspense>
        )}

        {many.files.length > 0 && (
          <ManyFiles
            bandId={bandId}
            files={many.files}
            onBringIn={() => void many.bringIn()}
            onStop={many.stop}
            onForget={many.forget}
          />
        )}

        {'tunes' in reading && reading.tunes.length > 1 && (
          <Passage heading={held ? 'Which voice is sung?' : 'Which tune?'}>
            <label htmlFor="which-tune" className="mr-3">
              {held
                ? `The file holds ${reading.tunes.length} voices; one of them is the melody.`
                : `The text holds ${reading.tunes.length} tunes; one is brought in at a time.`}
            </label>
            <select
              id="which-tune"
              value={reading.which}
              onChange={(event) => start(held ?? text, fileName, Number(event.target.value))}
              className="min-h-(--touch) max-w-full border-b border-edge bg-paper px-1"
            >
              {reading.tunes.map((tune, i) => (
                <option key={tune.line} value={i}>
                  {tune.title ?? `line ${tune.line}`}
                </option>
              ))}
            </select>
          </Passage>
        )}

        {done && (
          <div ref={result} tabIndex={-1} className="outline-none">
            <Passage heading="What was read">
              <Reading read={reading.read} onPlace={held ? null : goTo} />
              <Field label="Title" value={title} onChange={setTitle} most={200} />
              <Button
                look="main"
                shortcut="mod+Enter"
                disabled={busy}
                onPress={() => void bringIn(reading.read.song)}
              >
                {busy ? 'Bringing it in …' : 'Bring it in'}
              </Button>
            </Passage>
          </div>
        )}
      </main>
      <Foot />
    </>
  );
}
