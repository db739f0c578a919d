import type { Problem } from '../../../lib/base';
import { type EditorOptions, keptIn, readSong, SongEdits, watchSong } from '../../../lib/document';
import type { Player, Song } from '../../../lib/song';
import type { OpenDocument } from '../../sync';
import type { SubstituteAnswer } from '../../workers/substitute';
import type { SongState } from './states';
import { beforeName, NOTHING_STANDS, OUT_OF_REACH } from './words';

/** A song's document, as app/sync opens it. */
export type OpenedSong = Pick<OpenDocument, 'doc' | 'status' | 'mayLeave' | 'destroy'>;
export type OpenSong = (songId: string, onReplaced: () => void) => OpenedSong;

/** One song of an evening in which somebody stands in: opened, worked out, taken, given back. Tells of each change of `state`. */
export class SongAtHand {
  readonly songId: string;
  readonly #openSong: OpenSong;
  readonly #options: EditorOptions;
  readonly #who: readonly [from: Player, to: Player];
  readonly #tell: () => void;
  #state: SongState = { kind: 'not opened' };
  #open: OpenedSong | null = null;
  #edits: SongEdits | null = null;
  #unwatch: (() => void)[] = [];
  #isWritten = false;

  constructor(
    songId: string,
    who: readonly [from: Player, to: Player],
    openSong: OpenSong,
    options: EditorOptions,
    tell: () => void,
  ) {
    this.songId = songId;
    this.#who = who;
    this.#openSong = openSong;
    this.#options = options;
    this.#tell = tell;
  }

  get state(): SongState {
    return this.#state;
  }

  /** False while edits made here wait for the server. */
  get isKept(): boolean {
    return !this.#isWritten || this.#open?.status.getSnapshot().state === 'kept';
  }

  /** Whether nothing is lost if the page closes now. */
  get mayLeave(): boolean {
    return !this.#isWritten || this.#open?.mayLeave() !== false;
  }

  begin(): void {
    this.#close();
    const open = this.#openSong(this.songId, () => this.begin());
    this.#open = open;
    this.#become({ kind: 'opening' });
    this.#unwatch.push(open.status.subscribe(() => this.#look()));
    this.#look();
  }

  /** The song as it stands, where it is in line to be worked out. */
  work(): Song | null {
    if (this.#state.kind !== 'in line' || !this.#open) return null;
    this.#become({ kind: 'being worked out' });
    return readSong(this.#open.doc).song;
  }

  /** What came of `work`; null: it was stopped. Of a song that has changed meanwhile it is no use. */
  worked(song: Song, answer: SubstituteAnswer | null): void {
    if (this.#state.kind !== 'being worked out' || !this.#open) return;
    const isOfNow = answer !== null && readSong(this.#open.doc).song === song;
    if (!isOfNow) this.#become({ kind: 'in line' });
    else if (!answer.ok) this.#become({ kind: 'failed', problem: answer.error });
    else this.#become({ kind: 'worked out', substitute: answer.value, before: this.#before() });
  }

  /** Hands it over in one step, with the song as it was before kept beside it. */
  take(): void {
    const state = this.#state;
    if (state.kind !== 'worked out' || state.substitute.isNothing || !this.#edits) return;
    const { substitute } = state;
    const [from, to] = this.#who;
    // What it does not tell of by itself: its own edit is no change of somebody else's.
    this.#state = { kind: 'taken', substitute, problem: null };
    const done = this.#edits.substituteKeeping(substitute.writes, beforeName(from, to));
    this.#isWritten ||= done.ok;
    this.#become(done.ok ? this.#state : { kind: 'failed', problem: done.error });
  }

  /** Whether there is something to be given back: what was taken here, or what is kept from another time. */
  get canGiveBack(): boolean {
    const state = this.#state;
    return (
      state.kind === 'taken' ||
      (state.kind === 'worked out' && state.substitute.isNothing && state.before !== null)
    );
  }

  /**
   * What was taken here is taken back, and with it only what nobody has changed since. What was taken another time becomes what is kept of it from
   * before, in one step, with the song as it is now kept beside it.
   */
  giveBack(): void {
    const state = this.#state;
    if (!this.canGiveBack || !this.#edits) return;
    this.#state = { kind: 'given back' };
    if (state.kind === 'taken') {
      if (this.#edits.undo() === null)
        this.#state = { kind: 'taken', substitute: state.substitute, problem: NOTHING_STANDS };
    } else if (state.kind === 'worked out' && state.before !== null) {
      const done = this.#edits.giveBack(state.before);
      this.#isWritten ||= done.ok;
      if (!done.ok) this.#state = { kind: 'failed', problem: done.error };
    }
    this.#become(this.#state);
  }

  /** Nothing is looked at any more. A document with edits that the server has not got yet stays open until it has them. */
  leave(): void {
    const open = this.#open;
    this.#open = null;
    this.#stopWatching();
    this.#edits?.destroy();
    this.#edits = null;
    if (!open) return;
    const isOver = () =>
      !this.#isWritten || ['kept', 'not allowed'].includes(open.status.getSnapshot().state);
    const end = () => {
      if (!isOver()) return;
      stop();
      open.destroy();
    };
    const stop = open.status.subscribe(end);
    end();
  }

  /** Reads from the document's status whether the song can be had and written. */
  #look(): void {
    const open = this.#open;
    if (!open) return;
    const { kind } = this.#state;
    const isDone = kind === 'taken' || kind === 'given back';
    const reach = isDone ? 'unknown' : reachOf(open);
    if (reach === 'unknown') this.#tell();
    else if (reach !== 'can be written') this.#become({ kind: 'out of reach', problem: reach });
    else {
      if (this.#edits === null) {
        this.#edits = new SongEdits(open.doc, this.#options);
        this.#unwatch.push(watchSong(open.doc, () => this.#changed()));
      }
      if (kind === 'opening' || kind === 'out of reach') this.#become({ kind: 'in line' });
    }
  }

  /** Somebody else is at work in the song: what was worked out is of a song that is no more. */
  #changed(): void {
    if (['worked out', 'failed', 'being worked out'].includes(this.#state.kind))
      this.#become({ kind: 'in line' });
  }

  #before(): string | null {
    if (!this.#open) return null;
    const [from, to] = this.#who;
    return keptIn(this.#open.doc).find(({ name }) => name === beforeName(from, to))?.id ?? null;
  }

  #become(state: SongState): void {
    this.#state = state;
    this.#tell();
  }

  #stopWatching(): void {
    for (const stop of this.#unwatch) stop();
    this.#unwatch = [];
  }

  #close(): void {
    this.#stopWatching();
    this.#edits?.destroy();
    this.#edits = null;
    this.#open?.destroy();
    this.#open = null;
  }
}

/** Whether a song can be written; why not, where that is certain. */
function reachOf({ doc, status }: OpenedSong): 'can be written' | 'unknown' | Problem {
  const { state, loaded, mayEdit, problem } = status.getSnapshot();
  if (state === 'not allowed') return problem ?? OUT_OF_REACH.refused;
  if (!loaded) return state === 'offline' ? OUT_OF_REACH.offline : 'unknown';
  if (readSong(doc).readOnly) return OUT_OF_REACH.otherVersion;
  if (mayEdit) return 'can be written';
  // Before the server has said so it is not known.
  return state === 'kept' ? OUT_OF_REACH.readOnly : 'unknown';
}
