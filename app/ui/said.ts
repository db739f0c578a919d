/** When something was, by this device's clock and language. */
export const whenInWords = (at: number): string =>
  new Intl.DateTimeFormat(undefined, {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
  }).format(at);

/** `no songs`, `one song`, `3 songs`. */
export const songsInWords = (count: number): string =>
  count === 0 ? 'no songs' : count === 1 ? 'one song' : `${count} songs`;
