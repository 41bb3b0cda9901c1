// What of the view is still free for words.

const EDGE = 6;
const INK_STEP = 8;

/** Boxes that are taken, and ink that words had better not cross. */
export class Room {
  constructor(map) {
    this._map = map;
    const { x, y } = map.getSize();
    this._frame = { x: EDGE, y: EDGE, right: x - EDGE, bottom: y - EDGE };
    this._bounds = L.bounds([0, 0], [x, y]);
    this._ink = [];
    const furniture = document.querySelectorAll(".furniture:not(.unseen), .leaflet-control-zoom");
    this._taken = [...furniture].map((element) => element.getBoundingClientRect());
  }

  block(box) {
    this._taken.push(box);
  }

  /** Keeps a square round a symbol free. */
  guard(latlng, half) {
    const { x, y } = this._map.latLngToContainerPoint(latlng);
    this.block({ x: x - half, y: y - half, right: x + half, bottom: y + half });
  }

  /** @param {Track} track a line that words may cross, but rather should not */
  addInk(track) {
    this._ink.push(...track.samples(INK_STEP, this._bounds));
  }

  /** Whether a box lies in the view. */
  holds({ x, y, right, bottom }) {
    const frame = this._frame;
    return x >= frame.x && y >= frame.y && right <= frame.right && bottom <= frame.bottom;
  }

  /** The best of some spots, earlier ones first; none where words would have to overlap. */
  best(spots, { width, height, isKept }) {
    const boxes = spots.map((spot) => ({ ...spot, right: spot.x + width, bottom: spot.y + height }));
    const inside = boxes.filter((box) => this.holds(box));
    const free = inside.filter((box) => !this._taken.some((other) => overlap(box, other)));
    const open = free.length || !isKept ? free : inside;
    const costs = open.map((box, i) => this._cost(box) + 0.35 * i);
    // What must be drawn is drawn, even where its words find no place.
    return open[costs.indexOf(Math.min(...costs))] ?? (isKept ? boxes[0] : undefined);
  }

  _cost(box) {
    const crossed = this._ink.filter(({ x, y }) => x > box.x - 2 && x < box.right + 2 && y > box.y - 2 && y < box.bottom + 2);
    return crossed.length + this._taken.reduce((sum, other) => sum + overlap(box, other), 0) / 20;
  }
}

function overlap(a, b) {
  const width = Math.min(a.right, b.right) - Math.max(a.x, b.x);
  const height = Math.min(a.bottom, b.bottom) - Math.max(a.y, b.y);
  return width > 0 && height > 0 ? width * height : 0;
}
