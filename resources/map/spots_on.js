// Where words may stand right on a line: upper left corners, best first.

import { Track } from "./geometry.js";
import { distanceAt } from "./spots.js";

const ON_STEP = 36;
const MOST_ON = 24;

/** Right on a line, from the middle of what can be seen of it outwards. */
export function spotsOn({ on, width, height }, map) {
  const track = Track.of(map, on);
  const size = map.getSize();
  const seen = track.within(L.bounds([0, 0], [size.x, size.y]));
  const total = seen.reduce((sum, [from, to]) => sum + to - from, 0);
  if (total < width) return [];
  const step = Math.max(ON_STEP, total / MOST_ON);
  const places = Array.from({ length: Math.ceil(total / step) }, (_, i) => total / 2 + (i % 2 ? 1 : -1) * Math.ceil(i / 2) * step);
  return places.filter((place) => place > 0 && place < total).map((place) => {
    const { x, y } = track.at(distanceAt(seen, place));
    return { x: x - width / 2, y: y - height / 2 };
  });
}
