/** The parts of an evening book that are no song, by the names that they go by where songs go by their entries in the set. */
export const BOOK_LISTS = ['set list', 'floor list'] as const;
