/** A metric thread as it is written: "M12 × 1.5", with the decimal mark of the region. */
export function threadName(t, { diameter_mm, pitch_mm }) {
  return `M${diameter_mm} × ${t.number(pitch_mm, 0, 2)}`;
}
