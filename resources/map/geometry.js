// GeoJSON geometry and lines on the screen.

const DEPTHS = { LineString: 0, Polygon: 1, MultiLineString: 1, MultiPolygon: 2 };

/** Where a geometry lies, as Leaflet wants it: nested like its coordinates. */
export function latlngs({ type, coordinates }) {
  if (type === "Point") return L.GeoJSON.coordsToLatLng(coordinates);
  return L.GeoJSON.coordsToLatLngs(coordinates, DEPTHS[type]);
}

/** A line of points in pixels that can be asked what lies so far along it. */
export class Track {
  /** @param {{x: number, y: number}[]} points */
  constructor(points) {
    this.points = points;
    this.ends = [0];
    for (let i = 1; i < points.length; i++) {
      const { x, y } = points[i - 1];
      this.ends.push(this.ends[i - 1] + Math.hypot(points[i].x - x, points[i].y - y));
    }
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
    const part = (distance - this.ends[i - 1]) / span;
    const [dx, dy] = [(b.x - a.x) / span, (b.y - a.y) / span];
    return { x: a.x + dx * span * part, y: a.y + dy * span * part, dx, dy };
  }

  /** The points from one distance to another, ends included. */
  between(start, stop) {
    const inner = this.points.filter((_, i) => this.ends[i] > start && this.ends[i] < stop);
    return [this.at(start), ...inner, this.at(stop)];
  }
}
