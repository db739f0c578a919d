import type { MakeId } from '../../lib/base';
import type { Player } from '../../lib/song';

/** The demo's five, by what they are called in its roadmaps. */
export interface DemoPlayers {
  readonly guitar: Player;
  readonly banjo: Player;
  readonly mandolin: Player;
  readonly fiddle: Player;
  readonly bass: Player;
}
export type DemoPlayerName = keyof DemoPlayers;

/**
 * Five invented people, so different from one another that every preference shows: who rolls toward the next string, who
 * alternates, a small hand, a tempo that is nearly too fast for somebody.
 */
export function demoPlayers(makeId: MakeId): DemoPlayers {
  return {
    guitar: {
      id: makeId(),
      name: 'Ina R.',
      initials: 'IR',
      instruments: ['guitar'],
      sings: 'lead',
      rule: 'toward',
      comfortEighthsPerMinute: 420,
      spanMillimetres: 105,
      range: null,
      ink: 0,
    },
    banjo: {
      id: makeId(),
      name: 'Tobe W.',
      initials: 'TW',
      instruments: ['banjo'],
      sings: 'tenor',
      rule: 'alternate',
      comfortEighthsPerMinute: 520,
      spanMillimetres: null,
      range: null,
      ink: 1,
    },
    mandolin: {
      id: makeId(),
      name: 'Cass M.',
      initials: 'CM',
      instruments: ['mandolin', 'guitar'],
      sings: 'baritone',
      rule: 'alternate',
      comfortEighthsPerMinute: 460,
      spanMillimetres: null,
      range: null,
      ink: 2,
    },
    fiddle: {
      id: makeId(),
      name: 'Ansel P.',
      initials: 'AP',
      instruments: ['fiddle'],
      sings: 'none',
      rule: 'alternate',
      comfortEighthsPerMinute: 480,
      spanMillimetres: null,
      range: null,
      ink: 3,
    },
    bass: {
      id: makeId(),
      name: 'Gus D.',
      initials: 'GD',
      instruments: ['bass'],
      sings: 'none',
      rule: 'alternate',
      comfortEighthsPerMinute: null,
      spanMillimetres: null,
      range: null,
      ink: 4,
    },
  };
}
