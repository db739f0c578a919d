import type { EditorOptions } from '../../../lib/document';
import type { InstrumentName } from '../../../lib/instruments';
import type { Player, Song } from '../../../lib/song';
import type { SubstituteRequest } from '../../../lib/substitutes';
import { Observable } from '../../sync';
import type { SubstituteAnswer } from '../../workers/substitute';
import { type OpenSong, SongAtHand } from './one-song';
import type { EveningState, SongState } from './states';

/** Who is away on an evening, and who stands in. */
export interface EveningRequest {
  /** In the order of the evening, each once. */
  readonly songIds: readonly string[];
  /** All of the band, with both of them. */
  readonly players: readonly Player[];
  readonly from: Player;
  readonly to: Player;
  /** Left out: song by song, the one of whoever is away, if they play it, else their own. */
  readonly instrument?: InstrumentName;
}

/** What the evening needs of the page. */
export interface EveningWays extends EditorOptions {
  readonly openSong: OpenSong;
  /** Works out one song beside the page; null: it was stopped. */
  readonly work: (request: SubstituteRequest) => Promise<SubstituteAnswer | null>;
  readonly stopWork: () => void;
}

/** So many songs are being opened at a time. */
const OPENED_AT_ONCE = 4;

/**
 * Everything of one player's in all songs of an evening given to another: each song's document is opened, what becomes of it is worked out song by
 * song, and anew where somebody changes it meanwhile; all that can be taken is taken at once, one step in each song, and can be given back at once.
 * A song that cannot be had is passed over, and comes in line when it can.
 */
export class EveningAtHand {
  readonly state: Observable<EveningState>;
  readonly #request: EveningRequest;
  readonly #ways: EveningWays;
  readonly #songs: readonly SongAtHand[];
  #isStopped = false;
  #isWorking = false;
  #isOver = false;
  /** While many songs change at once, it is told once. */
  #isQuiet = false;

  constructor(request: EveningRequest, ways: EveningWays) {
    this.#request = request;
    this.#ways = ways;
    const { songIds, from, to } = request;
    this.#songs = [...new Set(songIds)].map(
      (songId) => new SongAtHand(songId, [from, to], ways.openSong, ways, () => this.#step()),
    );
    this.state = new Observable(this.#now());
  }

  begin(): void {
    this.#step();
  }

  /** What is worked out so far stays, and can be taken. */
  stop(): void {
    this.#isStopped = true;
    this.#ways.stopWork();
    this.#step();
  }

  goOn(): void {
    this.#isStopped = false;
    this.#step();
  }

  /** Takes all that is worked out, song by song in one go. */
  take(): void {
    this.#all((song) => song.take());
  }

  giveBack(): void {
    this.#all((song) => song.giveBack());
  }

  /** Whether nothing is lost if the page closes now. */
  mayLeave(): boolean {
    return this.#songs.every((song) => song.mayLeave);
  }

  leave(): void {
    this.#isOver = true;
    this.#ways.stopWork();
    for (const song of this.#songs) song.leave();
  }

  #all(act: (song: SongAtHand) => void): void {
    this.#isQuiet = true;
    for (const song of this.#songs) act(song);
    this.#isQuiet = false;
    this.#step();
  }

  /** Opens and works out what is next, and tells how it stands. */
  #step(): void {
    if (this.#isOver || this.#isQuiet) return;
    if (!this.#isStopped) {
      this.#isQuiet = true;
      this.#openNext();
      this.#workNext();
      this.#isQuiet = false;
    }
    this.state.set(this.#now());
  }

  #openNext(): void {
    for (const song of this.#songs) {
      if (this.#songs.filter(({ state }) => state.kind === 'opening').length >= OPENED_AT_ONCE) return;
      if (song.state.kind === 'not opened') song.begin();
    }
  }

  #workNext(): void {
    if (this.#isWorking) return;
    for (const song of this.#songs) {
      const now = song.work();
      if (now === null) continue;
      this.#isWorking = true;
      void this.#work(song, now);
      return;
    }
  }

  async #work(at: SongAtHand, song: Song): Promise<void> {
    const { players, from, to, instrument } = this.#request;
    const answer = await this.#ways.work({
      song,
      players,
      fromId: from.id,
      toId: to.id,
      ...(instrument ? { instrument } : {}),
    });
    this.#isWorking = false;
    at.worked(song, answer);
    this.#step();
  }

  #now(): EveningState {
    const states = this.#songs.map(({ state }) => state);
    const isAhead = ({ kind }: SongState) =>
      ['not opened', 'opening', 'in line', 'being worked out'].includes(kind);
    return {
      songs: this.#songs.map(({ songId, state }) => ({ songId, state })),
      isStopped: this.#isStopped,
      ahead: states.filter(isAhead).length,
      canTake: states.filter((state) => state.kind === 'worked out' && !state.substitute.isNothing).length,
      canGiveBack: this.#songs.filter((song) => song.canGiveBack).length,
      unkept: this.#songs.filter((song) => !song.isKept).length,
    };
  }
}
