/** Pages out of sight draw no frames: there it is done after so many milliseconds. */
const AT_LATEST = 250;

/** Does something once what was just changed is drawn, so that nobody waits for it at a key. Gives the way to stop it. */
export function afterPaint(act: () => unknown): () => void {
  let after = 0;
  let isOver = false;
  const once = () => {
    if (isOver) return;
    stop();
    act();
  };
  const frame = requestAnimationFrame(() => {
    after = window.setTimeout(once);
  });
  const latest = window.setTimeout(once, AT_LATEST);
  const stop = () => {
    isOver = true;
    cancelAnimationFrame(frame);
    window.clearTimeout(after);
    window.clearTimeout(latest);
  };
  return stop;
}
