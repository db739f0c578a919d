/** What can be asked of an idea, in the words of its buttons. */
export const WAYS = ['same idea again', 'fewer notes', 'more notes', 'higher', 'lower'] as const;
export type Way = (typeof WAYS)[number];
