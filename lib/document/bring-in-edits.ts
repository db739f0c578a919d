import { z } from 'zod';
import type { Result } from '../base';
import { type SetList, type SongEntry, setListSchema, songEntrySchema } from '../song';
import { badInput, Editor } from './editor';
import { joinThree } from './layout';
import { firstPositions } from './order';
import { setEntryFields, songEntryFields } from './seed';

const broughtSchema = z.object({ entries: z.array(songEntrySchema), sets: z.array(setListSchema) });

/** What comes into a band beside the songs themselves. */
export class BringInEdits extends Editor {
  /**
   * What songs that have come in ask of a crowd and whether they are put away, and whole set lists, which stand behind the band's own; in one
   * step. The sets' and their entries' ids are nobody's yet. What names a song that is not in the band's list is passed over. Gives the sets' ids.
   */
  bringIn(brought: {
    readonly entries: readonly SongEntry[];
    readonly sets: readonly SetList[];
  }): Result<readonly string[]> {
    const parsed = broughtSchema.safeParse(brought);
    if (!parsed.success) return badInput('what comes in', parsed.error);
    const { entries, sets } = parsed.data;
    const isHere = (songId: string) => this.live('songs', songId) !== null;
    return this.edit('songs and sets from a file', () => {
      for (const { title: _title, ...entry } of entries.filter(({ id }) => isHere(id)))
        for (const [field, value] of Object.entries(songEntryFields(entry)))
          this.steps.putIn('songs', entry.id, field, value);
      for (const { id, name, targetSeconds, entries: ofSet, pairs } of sets) {
        const others = this.ordered('sets');
        this.makeAt(
          'sets',
          id,
          { name, ...(targetSeconds === null ? {} : { targetSeconds }) },
          others,
          others.length,
        );
        const here = ofSet.filter(({ songId }) => isHere(songId));
        const positions = firstPositions(here.length);
        here.forEach((entry, i) => {
          const fields = { setId: id, position: positions[i], ...setEntryFields(entry) };
          this.steps.make('entries', entry.id, fields);
        });
        for (const { songs, wanted } of pairs)
          if (songs.every(isHere)) this.steps.put('pairs', joinThree(id, ...songs), wanted);
      }
      return sets.map(({ id }) => id);
    });
  }
}
