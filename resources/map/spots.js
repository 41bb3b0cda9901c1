// Where words may stand: upper left corners in pixels of the view, best first.

import { Track } from "./geometry.js";

const PARTS = [0.5, 0.3, 0.7, 0.1, 0.9];
const STEPS_OFF = [0, 18, 40];

/** Round a point, on the right for choice; or right on it. */
export function spotsBeside({ at, guard = 0, width, height, isCentred, isClose }, map) {
  const point = map.latLngToContainerPoint(at);
  if (isCentred) return [{ x: point.x - width / 2, y: point.y - height / 2 }];
  return rings([point], guard + 3, width, height, isClose ? STEPS_OFF.slice(0, 1) : STEPS_OFF);
}

/** Round points of a line, near its middle for choice, of what can be seen of it. */
export function spotsAlong({ along, gap = 9, width, height }, map) {
  const track = Track.of(map, along);
  const size = map.getSize();
  const seen = track.within(L.bounds([0, 0], [size.x, size.y]));
  const total = seen.reduce((sum, [from, to]) => sum + to - from, 0);
  const places = PARTS.map((part) => distanceAt(seen, part * total)).filter((place) => place !== null);
  return rings(places.map((place) => track.at(place)), gap, width, height);
}

/** Close to any of the points for choice; farther off with a leader. */
function rings(points, gap, width, height, steps = STEPS_OFF) {
  return steps.flatMap((off) => points.flatMap((point) => {
    const leader = off ? point : null;
    return round(point, gap + off, width, height).map((spot) => ({ ...spot, leader }));
  }));
}

/** Eight boxes so far from a point. */
function round({ x, y }, reach, width, height) {
  const [left, right, above, below] = [x - reach - width, x + reach, y - reach - height, y + reach];
  const [middle, level, slant] = [x - width / 2, y - height / 2, reach * 0.4];
  return [
    { x: right, y: level }, { x: left, y: level }, { x: middle, y: below }, { x: middle, y: above },
    { x: right - slant, y: above + slant }, { x: right - slant, y: below - slant },
    { x: left + slant, y: below - slant }, { x: left + slant, y: above + slant },
  ];
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

/** How far along a line lies a distance of what of it can be seen. */
export function distanceAt(ranges, distance) {
  for (const [from, to] of ranges) {
    if (distance <= to - from) return from + distance;
    distance -= to - from;
  }
  return ranges.length ? ranges[ranges.length - 1][1] : null;
}
