/** An opening quotation mark, pencilled in: something is said here. */
export function SaidMark() {
  return (
    <svg aria-hidden="true" className="said-mark" width="13" height="11" viewBox="0 0 13 11">
      <path
        d="M5.4 1C2.7 2 1.2 4.2 1.2 6.6a2 2 0 1 0 2-2M11.8 1C9.100 2 7.6 4.2 7.6 6.6a2 2 0 1 0 2-2"
        fill="none"
        stroke="currentColor"
        strokeWidth="1.5"
        strokeLinecap="round"
      />
    </svg>
  );
}
