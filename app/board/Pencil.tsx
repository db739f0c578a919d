/** A pencil: here somebody can write, or has. */
export function Pencil() {
  return (
    <svg aria-hidden="true" className="pencil" width="13" height="13" viewBox="0 0 13 13">
      <path d="M1 12l.8-3.2L9.6 1l2.4 2.4-7.8 7.8zM8.2 2.4l2.4 2.4" fill="none" stroke="currentColor" />
    </svg>
  );
}
