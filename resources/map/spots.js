// Where words may stand: upper left corners in pixels of the view, best first.

import { Track } from "./geometry.js";

const PARTS = [0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95];

/** Round a point, on the right for choice; or right on it. */
export function spotsBeside({ at, guard = 0, width, height, isCentred }, map) {
  const { x, y } = map.latLngToContainerPoint(at);
  const reach = guard + 3;
  const middle = { x: x - width / 2, y: y - height / 2 };
  if (isCentred) return [middle];
  const [left, right, above, below] = [x - reach - width, x + reach, y - reach - height, y + reach];
  const slant = reach * 0.4;
  return [
    { x: right, y: middle.y }, { x: left, y: middle.y }, { x: middle.x, y: below }, { x: middle.x, y: above },
    { x: right - slant, y: above + slant }, { x: right - slant, y: below - slant },
    { x: left + slant, y: below - slant }, { x: left + slant, y: above + slant },
  ];
}

/** On either side of a line, near its middle for choice, of what can be seen of it. */
export function spotsAlong({ along, gap = 9, width, height }, map) {
  const track = Track.of(map, along);
  const size = map.getSize();
  const seen = track.within(L.bounds([0, 0], [size.x, size.y]));
  const total = seen.reduce((sum, [from, to]) => sum + to - from, 0);
  return PARTS.flatMap((part) => {
    const place = distanceAt(seen, part * total);
    if (place === null) return [];
    const { x, y, dx, dy } = track.at(place);
    const reach = gap + (Math.abs(dy) * width + Math.abs(dx) * height) / 2;
    return [1, -1].map((side) => ({ x: x + side * dy * reach - width / 2, y: y - side * dx * reach - height / 2 }));
  });
}

/** At the end of a ray of a length, touching it, or set off to one side. */
export function spotsAtEnd({ x, y, dx, dy }, width, height) {
  const reach = 5 + Math.min(width / 2 / Math.abs(dx || 1e-9), height / 2 / Math.abs(dy || 1e-9));
  const ahead = { x: x + dx * reach - width / 2, y: y + dy * reach - height / 2 };
  // The box still touches the end: slid along the side that faces it.
  const isTall = Math.abs(dy) * width > Math.abs(dx) * height;
  const slide = isTall ? { x: width * 0.4, y: 0 } : { x: 0, y: height * 0.4 };
  return [ahead, ...[1, -1].map((side) => ({ x: ahead.x + side * slide.x, y: ahead.y + side * slide.y }))];
}

function distanceAt(ranges, distance) {
  for (const [from, to] of ranges) {
    if (distance <= to - from) return from + distance;
    distance -= to - from;
  }
  return ranges.length ? ranges[ranges.length - 1][1] : null;
}
