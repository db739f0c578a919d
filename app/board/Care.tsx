/** A caution where fast notes or wide stretches are offered. Not medical advice; see the trade's words on care. */
export function Care() {
  return (
    <p className="aside care" role="note">
      Fast or wide for the hand: warm up first, take breaks, and stop when it hurts. If it stays, see a
      clinician.
    </p>
  );
}
