/** An evening in one player's hands: the set list, what lies between its songs, an index, and the list for the floor. */
export { type Evening, type EveningSong, eveningOnPaper, openingOf } from './evening';
export { floorSheets } from './floor';
export { frontSheets } from './front';
export { BOOK_LISTS } from './lists';
