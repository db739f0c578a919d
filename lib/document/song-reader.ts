import type * as Y from 'yjs';
import type { Bar, ChordMark, PlayerSetting, Section, Song, SungNote } from '../song';
import { settingSchema } from '../song';
import type { Key } from '../theory';
import { Breaches } from './breaches';
import { DecidedReader } from './decided-reader';
import { type Head, readHead } from './head-reader';
import { mapOf, SONG_VERSION, type SongMap, splitKey, versionOf } from './layout';
import { byPosition, compare } from './order';
import { SaidReader } from './said-reader';
import { type Read, Shelf, share, shareFields } from './shelf';
import { barNow, chordNow, voiceNow } from './shift';
import * as items from './song-items';
import { SungNotes } from './sung-notes';

/** A song as it was read: what cannot be read is left out and listed, and nothing is deleted for it. */
export interface SongReading {
  readonly song: Song;
  /** A sentence for each thing that is in the document and not in the song, though nobody removed it. */
  readonly broken: readonly string[];
  /** True where this program must not write: the document is of another version, or nothing has been put into it yet. */
  readonly readOnly: boolean;
}

/** The order of the bars, and what hangs on each. */
interface BarPlace {
  readonly index: number;
  readonly ticks: number;
}

/** Reads one document again and again: only what changed is read anew, the rest keeps its identity. */
export class SongReader {
  readonly #doc: Y.Doc;
  readonly #meta;
  readonly #sections;
  readonly #bars;
  readonly #voices;
  readonly #passes;
  readonly #notes: SungNotes;
  readonly #chords;
  readonly #settings;
  readonly #said: SaidReader;
  readonly #decided: DecidedReader;
  readonly #breaches = new Breaches();
  #last: SongReading | undefined;
  #head: Head | undefined;
  #barPlaces: ReadonlyMap<string, BarPlace> = new Map();

  constructor(doc: Y.Doc) {
    this.#doc = doc;
    const shelf = <T>(name: SongMap, read: (raw: unknown, key: string) => Read<T>) =>
      new Shelf(mapOf(doc, name), read);
    this.#meta = shelf('meta', items.readRaw);
    this.#sections = shelf('sections', items.readSection);
    this.#bars = shelf('bars', items.readBar);
    this.#voices = shelf('voices', items.readVoice);
    this.#passes = shelf('passes', items.readPass);
    this.#notes = new SungNotes(doc);
    this.#chords = shelf('chords', items.readChord);
    this.#settings = shelf('settings', items.readRaw);
    this.#said = new SaidReader(doc, this.#breaches);
    this.#decided = new DecidedReader(doc, this.#breaches);
  }

  /** The song as it is now; the very same object where nothing changed. Not for use inside a transaction. */
  read(): SongReading {
    const first = this.#last === undefined;
    const old = this.#last?.song;
    const before = this.#head;
    const head =
      this.#meta.refresh() || !before ? readHead(this.#meta.values, before, this.#breaches) : before;
    this.#head = head;
    const { shift, ...top } = head;
    const shifted = shift !== before?.shift;
    const bars = [this.#sections.refresh(), this.#bars.refresh(), shifted].includes(true);
    const voices = [this.#voices.refresh(), shifted, first].includes(true);
    const passes = [this.#passes.refresh(), bars].includes(true);
    const notes = [this.#notes.refresh(shift), bars, voices].includes(true);
    const chords = [this.#chords.refresh(), bars, head.key !== before?.key].includes(true);
    const settings = this.#settings.refresh() || first;

    const sections = bars || !old ? this.#readSections(old, shift) : old.sections;
    const hung = {
      passes: passes || !old ? this.#readPasses(old) : old.passes,
      voices: voices || !old ? this.#readVoices(old, shift) : old.voices,
      notes: notes || !old ? this.#readNotes(old) : old.notes,
    };
    const song: Song = {
      ...top,
      sections,
      ...hung,
      chords: chords || !old ? this.#readChords(old, shift, head.key) : old.chords,
      settings: settings || !old ? this.#readSettings(old) : old.settings,
      ...this.#said.read(),
      ...this.#decided.read(hung, passes || voices || notes),
    };
    const broken = share(this.#last?.broken, this.#breaches.all());
    const readOnly = versionOf(this.#doc) !== SONG_VERSION;
    this.#last = shareFields(this.#last, { song: shareFields(old, song), broken, readOnly });
    return this.#last;
  }

  #readSections(old: Song | undefined, shift: number): readonly Section[] {
    const before = new Map(old?.sections.map((section) => [section.id, section]));
    const barsBefore = new Map(old?.sections.flatMap(({ bars }) => bars.map((bar) => [bar.id, bar])));
    const inSection = new Map<string, Bar[]>();
    const lost: string[] = [];
    for (const bar of [...this.#bars.values.values()].sort(byPosition)) {
      if (this.#sections.removed.has(bar.sectionId)) continue;
      const there = inSection.get(bar.sectionId);
      const now = barNow(bar.value, bar.keyShift, shift, barsBefore.get(bar.id));
      if (there) there.push(now);
      else inSection.set(bar.sectionId, [now]);
      if (!this.#sections.values.has(bar.sectionId)) lost.push(`bar ${bar.id} has no section`);
    }
    this.#breaches.say('section', this.#sections.broken);
    this.#breaches.say('bar', this.#bars.broken, lost);
    const sections = [...this.#sections.values.values()].sort(byPosition).map(({ id, value }) => {
      const was = before.get(id);
      return shareFields(was, { ...value, bars: share(was?.bars, inSection.get(id) ?? []) });
    });
    const all = sections.flatMap((section) => section.bars);
    this.#barPlaces = new Map(all.map((bar, index) => [bar.id, { index, ticks: bar.ticks }]));
    return share(old?.sections, sections);
  }

  #readVoices(old: Song | undefined, shift: number) {
    this.#breaches.say('voice', this.#voices.broken);
    const before = new Map(old?.voices.map((voice) => [voice.id, voice]));
    return share(
      old?.voices,
      [...this.#voices.values.values()]
        .sort(byPosition)
        .map(({ id, value, rangeShift }) => voiceNow(value, rangeShift, shift, before.get(id))),
    );
  }

  #readPasses(old: Song | undefined) {
    const lost: string[] = [];
    const passes = [...this.#passes.values.values()].sort(byPosition).filter(({ id, value }) => {
      if (this.#sections.values.has(value.sectionId)) return true;
      if (!this.#sections.removed.has(value.sectionId)) lost.push(`pass ${id} has no section`);
      return false;
    });
    this.#breaches.say('pass', this.#passes.broken, lost);
    return share(
      old?.passes,
      passes.map((pass) => pass.value),
    );
  }

  /** Where something hangs; null where it is hidden with its bar (or broken, and then listed). */
  #barOf(
    hung: { readonly barId: string; readonly offset: number },
    name: string,
    lost: string[],
  ): BarPlace | null {
    const place = this.#barPlaces.get(hung.barId);
    if (place && hung.offset < place.ticks) return place;
    if (place) {
      lost.push(`${name} lies behind the end of its bar`);
      return null;
    }
    const section = this.#bars.values.get(hung.barId)?.sectionId;
    const hidden =
      this.#bars.removed.has(hung.barId) || (section !== undefined && this.#sections.removed.has(section));
    if (!hidden) lost.push(`${name} has no bar`);
    return null;
  }

  #readNotes(old: Song | undefined): readonly SungNote[] {
    const lost: string[] = [];
    const voices = new Map(
      [...this.#voices.values.values()].sort(byPosition).map(({ id }, index) => [id, index]),
    );
    const rows: { readonly bar: number; readonly voice: number; readonly note: SungNote }[] = [];
    for (const note of this.#notes.all()) {
      const bar = this.#barOf(note, `note ${note.id}`, lost);
      if (!bar) continue;
      const voice = voices.get(note.voiceId);
      if (voice === undefined) {
        if (!this.#voices.removed.has(note.voiceId)) lost.push(`note ${note.id} has no voice`);
        continue;
      }
      rows.push({ bar: bar.index, voice, note });
    }
    this.#breaches.say('note', this.#notes.brokenNotes, lost);
    this.#breaches.say('word', this.#notes.brokenWords);
    rows.sort(
      (a, b) =>
        a.bar - b.bar || a.note.offset - b.note.offset || a.voice - b.voice || compare(a.note.id, b.note.id),
    );
    return share(
      old?.notes,
      rows.map((row) => row.note),
    );
  }

  #readChords(old: Song | undefined, shift: number, key: Key): readonly ChordMark[] {
    const before = new Map(old?.chords.map((chord) => [chord.id, chord]));
    const lost: string[] = [];
    const rows: { readonly bar: number; readonly chord: ChordMark }[] = [];
    for (const stored of this.#chords.values.values()) {
      const chord = shareFields(before.get(stored.value.id), chordNow(stored, shift, key));
      const bar = this.#barOf(chord, `chord ${chord.id}`, lost);
      if (bar) rows.push({ bar: bar.index, chord });
    }
    this.#breaches.say('chord', this.#chords.broken, lost);
    rows.sort((a, b) => a.bar - b.bar || a.chord.offset - b.chord.offset || compare(a.chord.id, b.chord.id));
    return share(
      old?.chords,
      rows.map((row) => row.chord),
    );
  }

  #readSettings(old: Song | undefined): readonly PlayerSetting[] {
    const before = new Map(old?.settings.map((setting) => [setting.playerId, setting]));
    const byPlayer = new Map<string, Record<string, unknown>>();
    const unread: string[] = [];
    for (const [key, value] of this.#settings.values) {
      const parts = splitKey(key);
      if (!parts) unread.push(key);
      else byPlayer.set(parts[0], { ...byPlayer.get(parts[0]), [parts[1]]: value });
    }
    const settings: PlayerSetting[] = [];
    for (const [playerId, fields] of [...byPlayer].sort((a, b) => compare(a[0], b[0]))) {
      if (fields.instrument === undefined) continue;
      const setting = settingSchema.safeParse({ ...usualSetting, ...fields, playerId });
      if (setting.success) settings.push(shareFields(before.get(playerId), setting.data));
      else unread.push(playerId);
    }
    this.#breaches.say('setting of', unread);
    return share(old?.settings, settings);
  }
}

/** What a player's setting has where nobody said otherwise; the instrument is always said. */
export const usualSetting = { tuning: 'standard', capo: 0, fifthCapo: null, rule: null } as const;
