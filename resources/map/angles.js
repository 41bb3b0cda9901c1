// Angles in words, as on a chart.

/** Decimal degrees with a true minus, to a metre. */
export function decimal(angle) {
  return angle.toFixed(5).replace("-", "−");
}

/** Degrees and decimal minutes, as in `49° 36.252′ N`. */
export function degreesMinutes(angle, positive, negative) {
  const thousandths = Math.round(Math.abs(angle) * 60000);
  const [d, m] = [Math.floor(thousandths / 60000), (thousandths % 60000) / 1000];
  return `${d}° ${m.toFixed(3).padStart(6, "0")}′ ${angle < 0 ? negative : positive}`;
}

/** Degrees, with minutes and seconds where a step of so many degrees needs them. */
export function roundAngle(angle, positive, negative, step) {
  const seconds = Math.round(Math.abs(angle) * 3600);
  const [d, m, s] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  const two = (number) => String(number).padStart(2, "0");
  const minutes = step < 1 ? ` ${two(m)}′` : "";
  const rest = step < 1 / 60 ? ` ${two(s)}″` : "";
  return `${d}°${minutes}${rest}${seconds === 0 ? "" : ` ${angle > 0 ? positive : negative}`}`;
}

/** The multiples of a step from one angle up to another. */
export function multiples(from, to, step) {
  const first = Math.ceil(from / step);
  return Array.from({ length: Math.max(0, Math.floor(to / step) - first + 1) }, (_, i) => (first + i) * step);
}
