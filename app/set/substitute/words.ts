import type { Problem } from '../../../lib/base';
import type { Player } from '../../../lib/song';
import { sentence } from '../../ui/Notice';
import { songsInWords } from '../../ui/said';
import type { EveningState, SongState } from './states';

/** The longest name under which a song's state can be kept. */
const LONGEST = 80;

/** Under which a song is kept as it was before somebody stood in. Songs are given back by it, so that it says the two and nothing else. */
export const beforeName = (from: Pick<Player, 'name'>, to: Pick<Player, 'name'>): string =>
  `Before ${to.name} stood in for ${from.name}`.slice(0, LONGEST).trim();

export const OUT_OF_REACH = {
  offline: {
    what: 'This song is not on this device',
    where: 'not connected',
    mend: 'it comes in line by itself when the connection is back',
  },
  refused: {
    what: 'This song cannot be had',
    where: 'the server',
    mend: 'see on the band’s page whether it is there',
  },
  readOnly: {
    what: 'This song can be read from here and not changed',
    where: 'the server',
    mend: 'come in by the link for players',
  },
  otherVersion: {
    what: 'This song was kept by another version of the program',
    where: 'the shared document',
    mend: 'load the page anew',
  },
} as const satisfies Record<string, Problem>;

export const NOTHING_STANDS: Problem = {
  what: 'Others have changed all of it since',
  where: 'this song',
  mend: 'look at it on its board; how it was before is kept there under ‘as agreed on’',
};

export const NOT_WORKED_OUT: Problem = {
  what: 'It could not be worked out',
  where: 'this device',
  mend: 'leave it and ask once more',
};

/** How far it is: `Worked out: 3 of 12 songs…`. */
export function progressSaid({ songs: all, ahead, isStopped }: EveningState): string {
  const done = all.length - ahead;
  if (ahead === 0) return '';
  return isStopped
    ? `Stopped: ${done} of ${songsInWords(all.length)} worked out.`
    : `Working it out: ${done} of ${songsInWords(all.length)}…`;
}

type Told = 'whole' | 'in part' | 'nothing' | 'missing' | 'taken' | 'given back';

function toldOf(state: SongState): Told | null {
  if (state.kind === 'out of reach' || state.kind === 'failed') return 'missing';
  if (state.kind === 'taken' || state.kind === 'given back') return state.kind;
  if (state.kind !== 'worked out') return null;
  if (state.substitute.isNothing) return 'nothing';
  return state.substitute.left.length === 0 ? 'whole' : 'in part';
}

/** The evening in one breath: `8 songs go over whole; 3 songs go over in part; in one song Ben has nothing.` */
export function eveningSaid(state: EveningState, from: Player, to: Player): string {
  const count = (told: Told) => state.songs.filter((one) => toldOf(one.state) === told).length;
  const [taken, given] = [count('taken'), count('given back')];
  const said = [
    ...(taken > 0 ? [`${to.name} has all that goes in ${songsInWords(taken)}`] : []),
    ...(given > 0 ? [`${songsInWords(given)} ${given === 1 ? 'is' : 'are'} given back to ${from.name}`] : []),
    ...(count('whole') > 0 ? [`${songsInWords(count('whole'))} ${goes(count('whole'))} over whole`] : []),
    ...(count('in part') > 0
      ? [`${songsInWords(count('in part'))} ${goes(count('in part'))} over in part`]
      : []),
    ...(count('nothing') > 0 ? [`in ${songsInWords(count('nothing'))} ${from.name} has nothing`] : []),
    ...(count('missing') > 0
      ? [`${songsInWords(count('missing'))} ${count('missing') === 1 ? 'is' : 'are'} left out, as told below`]
      : []),
  ];
  return sentence(said.join('; '));
}

const goes = (count: number): string => (count === 1 ? 'goes' : 'go');

/** What a song that is not worked out yet is waiting for. */
export const WAITING: Readonly<Record<'not opened' | 'opening' | 'in line' | 'being worked out', string>> = {
  'not opened': 'not looked at yet',
  opening: 'being opened…',
  'in line': 'waits for its turn',
  'being worked out': 'being worked out…',
};

export const unkeptSaid = (count: number): string =>
  count === 0
    ? ''
    : `${count === 1 ? 'One song waits' : `${count} songs wait`} for the server: they go by themselves, so long as this page is open.`;

export const takeSaid = ({ canTake, songs: all }: EveningState, to: Player): string =>
  canTake === all.length
    ? `${to.name} plays them all`
    : `${to.name} plays ${canTake} of ${songsInWords(all.length)}`;

export const giveBackSaid = ({ canGiveBack }: EveningState, from: Player): string =>
  `Give ${from.name} back ${canGiveBack === 1 ? 'the one song' : `all ${canGiveBack} songs`}`;
