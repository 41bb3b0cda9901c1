// GeoJSON geometry, and lines on the screen.

const DEPTHS = { LineString: 0, Polygon: 1, MultiLineString: 1, MultiPolygon: 2 };

/** Where a geometry lies, as Leaflet wants it: nested like its coordinates. */
export function latlngs({ type, coordinates }) {
  if (type === "Point") return L.GeoJSON.coordsToLatLng(coordinates);
  return L.GeoJSON.coordsToLatLngs(coordinates, DEPTHS[type]);
}

/** A line of points in pixels that can be asked what lies so far along it. */
export class Track {
  /** The track of a line of positions, in pixels from the corner of the view. */
  static of(map, line) {
    const corner = map.getPixelBounds().min;
    return new Track(line.map((latlng) => map.project(latlng).subtract(corner)));
  }

  constructor(points) {
    this.points = points;
    this.ends = [0];
    points.slice(1).forEach((b, i) => this.ends.push(this.ends[i] + b.distanceTo(points[i])));
  }

  get length() {
    return this.ends[this.ends.length - 1];
  }

  /** The point at a distance along, and the unit direction there. */
  at(distance) {
    let i = 1;
    while (i < this.ends.length - 1 && this.ends[i] < distance) i++;
    const [a, b] = [this.points[i - 1], this.points[i]];
    const span = this.ends[i] - this.ends[i - 1] || 1;
    const [dx, dy, along] = [(b.x - a.x) / span, (b.y - a.y) / span, distance - this.ends[i - 1]];
    return { x: a.x + dx * along, y: a.y + dy * along, dx, dy };
  }

  /** The distances [from, to] between which each segment lies within bounds. */
  within(bounds) {
    return this.points.slice(1).flatMap((b, i) => {
      const a = this.points[i];
      const clipped = L.LineUtil.clipSegment(a, b, bounds);
      return clipped ? [clipped.map((point) => this.ends[i] + a.distanceTo(point))] : [];
    });
  }

  /** Points every so many pixels, as far as they lie within bounds. */
  samples(step, bounds) {
    return this.within(bounds).flatMap(([from, to]) => {
      const first = Math.ceil(from / step);
      const count = Math.max(0, Math.floor(to / step) - first + 1);
      return Array.from({ length: count }, (_, i) => this.at((first + i) * step));
    });
  }
}
