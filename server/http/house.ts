import type { MakeId } from '../../lib/base';
import { BandEdits, newBandDocument, readBand, readSong } from '../../lib/document';
import {
  type BandMade,
  type BandPage,
  bandDocument,
  type EnterAnswer,
  granted,
  isId,
  LIMITS,
  type LinkChanged,
  type LinkGiven,
  type LinkList,
  type NewBandRequest,
  type PageData,
  type PageResult,
  parseDocument,
  refuse,
  type SessionBand,
  type SessionInfo,
  type SongMade,
  type SongPage,
  songDocument,
  type YouAnswer,
} from '../../lib/protocol';
import { type Band, NEW_BAND, type Player } from '../../lib/song';
import type { Access, Clock, Entered, Session } from '../ports';
import type { Rooms } from '../sync';
import { DEMO_BAND_ID } from './demo';
import type { SongRead } from './read-song';

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

  async enterDemo(session: Session | null): Promise<Answered<EnterAnswer>> {
    if (!this.#hasDemo) return refuse('not found', 'the demo band');
    const admitted = await this.#access.admit(session, DEMO_BAND_ID);
    if (!admitted.ok) return admitted;
    return granted({ answer: { bandId: DEMO_BAND_ID, kind: 'player' }, session: admitted.value });
  }

  /** A new band with its document and a link of each kind; the session is its founder. */
  async newBand(session: Session | null, asked: NewBandRequest): Promise<Answered<BandMade>> {
    const bandId = this.#makeId();
    const player = asked.yourName === undefined ? null : this.#founder(asked.yourName, asked.yourInstrument);
    if (!(await this.#access.hasPlace(session))) return refuse('too many bands', 'this device');
    const band: Band = {
      id: bandId,
      name: asked.name,
      players: player === null ? [] : [player],
      songs: [],
      sets: [],
      ...NEW_BAND,
    };
    await this.#rooms.create(bandDocument(bandId), newBandDocument(band));
    const founded = await this.#access.found(session, bandId, player?.id ?? null);
    if (!founded.ok) return founded;
    const links = {
      player: await this.#access.giveLink(bandId, 'player'),
      listener: await this.#access.giveLink(bandId, 'listener'),
    };
    return granted({ answer: { bandId, playerId: player?.id ?? null, links }, session: founded.value });
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
      range: null,
      ink: 0,
    };
  }

  async links(session: Session | null, bandId: string): Promise<PageResult<LinkList>> {
    const entered = await this.player(session, bandId);
    return entered.ok ? granted({ links: await this.#access.links(bandId, session) }) : entered;
  }

  async giveLink(
    session: Session | null,
    bandId: string,
    kind: Entered['kind'],
  ): Promise<PageResult<LinkGiven>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    if ((await this.#standing(bandId)) >= LIMITS.links) return refuse('too many songs', `band ${bandId}`);
    const given = await this.#access.giveLink(bandId, kind);
    // Put out at that very moment: the link that they take along opens nothing.
    const still = await this.player(session, bandId);
    if (still.ok || session === null) return granted(given);
    await this.#access.endLink(session, bandId, given.linkId);
    return still;
  }

  async #standing(bandId: string): Promise<number> {
    const links = await this.#access.links(bandId, null);
    return links.filter((link) => link.endedAt === null).length;
  }

  async endLink(session: Session | null, bandId: string, linkId: string): Promise<Answered<LinkList>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    if (session === null) return refuse('no session');
    const kept = await this.#access.endLink(session, bandId, linkId);
    if (kept === null) return refuse('not found', `link ${linkId}`);
    return granted({ answer: { links: await this.#access.links(bandId, kept) }, session: kept });
  }

  /** Ends a link and gives a new one of its kind in its place. */
  async changeLink(session: Session | null, bandId: string, linkId: string): Promise<Answered<LinkChanged>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    if (session === null) return refuse('no session');
    const changed = await this.#access.changeLink(session, bandId, linkId);
    if (changed === null) return refuse('not found', `link ${linkId}`);
    const { given, session: kept } = changed;
    return granted({ answer: { given, links: await this.#access.links(bandId, kept) }, session: kept });
  }

  /** Ends every link: everybody is out but this device. */
  async endAllLinks(session: Session | null, bandId: string): Promise<Answered<LinkList>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    if (bandId === DEMO_BAND_ID) return refuse('demo stays', `band ${bandId}`);
    if (session === null) return refuse('no session');
    const kept = await this.#access.endAll(session, bandId);
    return granted({ answer: { links: await this.#access.links(bandId, kept) }, session: kept });
  }

  /** Deletes a band for good: its documents, its links, and with them everybody's way in. */
  async deleteBand(
    session: Session | null,
    bandId: string,
    name: string,
  ): Promise<Answered<{ readonly bandId: string }>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    if (bandId === DEMO_BAND_ID) return refuse('demo stays', `band ${bandId}`);
    if (session === null) return refuse('no session');
    const band = await this.#band(bandId);
    if (band === null) return refuse('not found', `band ${bandId}`);
    if (name.trim() !== band.name.trim()) return refuse('wrong name', 'the name of the band');
    await this.#access.deleteBand(bandId, () =>
      this.#rooms.emptied((document) => parseDocument(document)?.bandId === bandId),
    );
    return granted({ answer: { bandId }, session: await this.#access.leave(session, bandId) });
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
  async leave(session: Session | null, bandId: string): Promise<Answered<{ readonly bandId: string }>> {
    if (session === null) return refuse('no session');
    return granted({ answer: { bandId }, session: await this.#access.leave(session, bandId) });
  }

  /** A song's document, made once, and its entry in the band's list. Asked again for the same song, it mends what is missing. */
  async addSong(session: Session | null, bandId: string, song: SongRead): Promise<PageResult<SongMade>> {
    const entered = await this.player(session, bandId);
    if (!entered.ok) return entered;
    const band = await this.#band(bandId);
    if (band === null) return refuse('not found', `band ${bandId}`);
    if (band.songs.length >= LIMITS.songs) return refuse('too many songs', `band ${bandId}`);
    const made = await this.#rooms.createFrom(songDocument(bandId, song.songId), song.update);
    if (!(await this.#access.hasBand(bandId))) {
      // Deleted at that very moment: nothing of it may stay behind.
      await this.#access.deleteBand(bandId, () => Promise.resolve());
      return refuse('band deleted', `band ${bandId}`);
    }
    if (!made && band.songs.some((entry) => entry.id === song.songId))
      return refuse('already there', `song ${song.songId}`);
    await this.#rooms.edit(bandDocument(bandId), (doc) => {
      const edits = new BandEdits(doc, {
        by: entered.value.playerId,
        now: this.#clock,
        makeId: this.#makeId,
      });
      // Refused only where somebody has added it in between, and then it is there.
      edits.addSong({ id: song.songId, title: song.title });
      edits.destroy();
    });
    return granted({ songId: song.songId });
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
