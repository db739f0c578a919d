/** That nobody else has the song open; it also holds the room of who is here until that is known. */
export function AloneHere() {
  return <span className="plain text-[0.9375rem] text-quiet">Nobody else has this song open.</span>;
}
