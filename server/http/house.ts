import type { MakeId } from '../../lib/base';
import { BandEdits, newBandDocument, newSongDocument, readBand, readSong } from '../../lib/document';
import {
  type BandMade,
  type BandPage,
  bandDocument,
  type EnterAnswer,
  granted,
  isId,
  type LinkGiven,
  type LinkList,
  type NewBandRequest,
  type PageData,
  type PageResult,
  refuse,
  type SessionBand,
  type SessionInfo,
  type SongMade,
  type SongPage,
  songDocument,
  type YouAnswer,
} from '../../lib/protocol';
import { type Band, checkSong, type Player, type Song } from '../../lib/song';
import type { Access, Clock, Entered, Session } from '../ports';
import type { Rooms } from '../sync';
import { DEMO_BAND_ID } from './demo';

export interface HouseOptions {
  readonly access: Access;
  readonly rooms: Rooms;
  readonly clock: Clock;
  readonly makeId: MakeId;
  /** False where this server has no demo band. */
  readonly hasDemo: boolean;
}

/** An answer, and the session that goes back as the cookie where it changed. */
export type Answered<T> = PageResult<{ readonly answer: T; readonly session: Session | null }>;

/** What can be asked of the server beside the documents: each question one method, access looked at first. */
export class House implements PageData {
  readonly #access: Access;
  readonly #rooms: Rooms;
  readonly #clock: Clock;
  readonly #makeId: MakeId;
  readonly #hasDemo: boolean;

  constructor({ access, rooms, clock, makeId, hasDemo }: HouseOptions) {
    this.#access = access;
    this.#rooms = rooms;
    this.#clock = clock;
    this.#makeId = makeId;
    this.#hasDemo = hasDemo;
  }

  async session(cookieHeader: string | null): Promise<SessionInfo | null> {
    const session = this.#access.session(cookieHeader);
    return session === null ? null : this.info(session);
  }

  /** The bands that a session may enter at this moment. */
  async info(session: Session | null): Promise<SessionInfo> {
    const bands: SessionBand[] = [];
    for (const { bandId } of session?.bands ?? []) {
      const entered = await this.#access.entered(session, bandId);
      const band = entered.ok ? await this.#band(bandId) : null;
      if (!entered.ok || band === null) continue;
      const { kind, playerId } = entered.value;
      bands.push({ bandId, name: band.name, kind, playerId });
    }
    return { bands, demoBandId: this.#hasDemo ? DEMO_BAND_ID : null };
  }

  async band(bandId: string, cookieHeader: string | null): Promise<PageResult<BandPage>> {
    const entered = await this.#access.entered(this.#access.session(cookieHeader), bandId);
    if (!entered.ok) return entered;
    const band = await this.#band(bandId);
    if (band === null) return refuse('not found', `band ${bandId}`);
    return granted({ band, you: youIn(band, entered.value) });
  }

  async song(bandId: string, songId: string, cookieHeader: string | null): Promise<PageResult<SongPage>> {
    const page = await this.band(bandId, cookieHeader);
    if (!page.ok) return page;
    if (!isId(songId)) return refuse('not found', `song ${songId}`);
    const reading = await this.#rooms.read(songDocument(bandId, songId), readSong);
    if (reading === null) return refuse('not found', `song ${songId}`);
    return granted({ ...page.value, song: reading.song });
  }

  async enter(session: Session | null, secret: string): Promise<Answered<EnterAnswer>> {
    return this.#access.enter(session, secret);
  }

  enterDemo(session: Session | null): Answered<EnterAnswer> {
    if (!this.#hasDemo) return refuse('not found', 'the demo band');
    const admitted = this.#access.admit(session, DEMO_BAND_ID, null);
    if (!admitted.ok) return admitted;
    return granted({ answer: { bandId: DEMO_BAND_ID, kind: 'player' }, session: admitted.value });
  }

  /** A new band with its document and a link of each kind; the session is its founder. */
  async newBand(session: Session | null, asked: NewBandRequest): Promise<Answered<BandMade>> {
    const bandId = this.#makeId();
    const player = asked.yourName === undefined ? null : this.#founder(asked.yourName, asked.yourInstrument);
    const admitted = this.#access.admit(session, bandId, player?.id ?? null);
    if (!admitted.ok) return admitted;
    const band: Band = {
      id: bandId,
      name: asked.name,
      players: player === null ? [] : [player],
      songs: [],
      sets: [],
    };
    await this.#rooms.create(bandDocument(bandId), newBandDocument(band));
    await this.#access.addBand(bandId);
    const links = {
      player: await this.#access.giveLink(bandId, 'player'),
      listener: await this.#access.giveLink(bandId, 'listener'),
    };
    return granted({ answer: { bandId, playerId: player?.id ?? null, links }, session: admitted.value });
  }

  #founder(name: string, instrument: NewBandRequest['yourInstrument']): Player {
    return {
      id: this.#makeId(),
      name,
      initials: initialsOf(name),
      instruments: instrument === undefined ? [] : [instrument],
      sings: 'none',
      rule: 'toward',
      comfortEighthsPerMinute: null,
      spanMillimetres: null,
      ink: 0,
    };
  }

  async links(session: Session | null, bandId: string): Promise<PageResult<LinkList>> {
    const entered = await this.player(session, bandId);
    return entered.ok ? granted({ links: await this.#access.links(bandId) }) : entered;
  }

  async giveLink(
    session: Session | null,
    bandId: string,
    kind: Entered['kind'],
  ): Promise<PageResult<LinkGiven>> {
    const entered = await this.player(session, bandId);
    return entered.ok ? granted(await this.#access.giveLink(bandId, kind)) : entered;
  }

  async endLink(session: Session | null, bandId: string, linkId: string): Promise<Answered<LinkList>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    if (session === null) return refuse('no session');
    const kept = await this.#access.endLink(session, bandId, linkId);
    if (kept === null) return refuse('not found', `link ${linkId}`);
    return granted({ answer: { links: await this.#access.links(bandId) }, session: kept });
  }

  /** Which of the band's players this session is. */
  async name(session: Session | null, bandId: string, playerId: string | null): Promise<Answered<YouAnswer>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    if (session === null) return refuse('no session');
    if (playerId !== null) {
      const band = await this.#band(bandId);
      if (!band?.players.some((player) => player.id === playerId))
        return refuse('no such player', `player ${playerId}`);
    }
    return granted({
      answer: { bandId, playerId },
      session: this.#access.name(session, bandId, playerId),
    });
  }

  /** Forgets a band on this device. */
  leave(session: Session | null, bandId: string): Answered<{ readonly bandId: string }> {
    if (session === null) return refuse('no session');
    return granted({ answer: { bandId }, session: this.#access.leave(session, bandId) });
  }

  /** A song's document, made once, and its entry in the band's list. Asked again for the same song, it mends what is missing. */
  async addSong(session: Session | null, bandId: string, song: Song): Promise<PageResult<SongMade>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    if (!isId(song.id)) return refuse('bad value', 'song.id: letters, digits, - and _ only');
    const breach = checkSong(song)[0];
    if (breach !== undefined) return refuse('bad value', `song: ${breach}`);
    const band = await this.#band(bandId);
    if (band === null) return refuse('not found', `band ${bandId}`);
    const made = await this.#rooms.create(songDocument(bandId, song.id), newSongDocument(song));
    if (!made && band.songs.some((entry) => entry.id === song.id))
      return refuse('already there', `song ${song.id}`);
    await this.#rooms.edit(bandDocument(bandId), (doc) => {
      const edits = new BandEdits(doc, {
        by: entered.value.playerId,
        now: this.#clock,
        makeId: this.#makeId,
      });
      // Refused only where somebody has added it in between, and then it is there.
      edits.addSong({ id: song.id, title: song.title });
      edits.destroy();
    });
    return granted({ songId: song.id });
  }

  /** What the session may do in a band where it is a player's. */
  async player(session: Session | null, bandId: string): Promise<PageResult<Entered>> {
    return this.#access.player(session, bandId);
  }

  async #band(bandId: string): Promise<Band | null> {
    if (!isId(bandId)) return null;
    const reading = await this.#rooms.read(bandDocument(bandId), readBand);
    return reading?.band ?? null;
  }
}

/** A session names a player only as long as the band has them. */
function youIn(band: Band, { kind, playerId }: Entered): BandPage['you'] {
  return { kind, playerId: band.players.some((player) => player.id === playerId) ? playerId : null };
}

/** First signs of the first two words, or the first two signs of one. */
function initialsOf(name: string): string {
  const words = name.split(/\s+/).filter((word) => word !== '');
  const [first = '?', second] = words;
  const signs =
    second === undefined ? [...first].slice(0, 2) : [...first].slice(0, 1).concat([...second][0] ?? '');
  return signs.join('').toLocaleUpperCase('en').slice(0, 4);
}
