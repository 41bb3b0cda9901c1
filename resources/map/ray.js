// A bearing as a ray of ink that carries its own words at its end.

import { latlngs, Track } from "./geometry.js";

const CLEAR_OF_SYMBOL = 11;
const SHARES = { solid: 0.36, dash: 0.4, dots: 0.33, "dots-wide": 0.38, taper: 0.3, "taper-dots": 0.26, hatch: 1 };

/** Draws a geodesic that Python worked out, as far as the view and its words allow. */
export class Ray {
  constructor(feature, sheet) {
    this._feature = feature;
    this._sheet = sheet;
    this._line = latlngs(feature.geometry);
    const { stroke, label, is_faint: isFaint, kind } = feature.properties;
    const className = `ray ray-${stroke}${isFaint ? " faint" : ""}`;
    this._isTaper = stroke.startsWith("taper");
    this._shape = this._isTaper ? sheet.area([], className) : sheet.line([], className);
    this._end = this._line[0];
    const isShadow = kind === "shadow";
    const lines = [[isShadow ? "shadow-word" : `ray-word${isFaint ? " faint-word" : ""}`, label]];
    sheet.say({ lines, order: isShadow ? 5 : this._isTaper ? 1 : 2, isKept: true, spots: (w, h) => this._spots(w, h) });
  }

  /** What stands on the map, read back from the shape itself. */
  facts() {
    const { azimuth_deg, label } = this._feature.properties;
    const [start] = this._line;
    return { layer: this._sheet.name, azimuth_deg, label, start: [start.lat, start.lng], end: [this._end.lat, this._end.lng] };
  }

  /** Places for the words, best first; to use one draws the ray up to it. */
  _spots(width, height) {
    const { map } = this._sheet;
    const corner = map.getPixelBounds().min;
    const track = new Track(this._line.map((latlng) => map.project(latlng).subtract(corner)));
    const size = map.getSize();
    const wish = this._wish(track, Math.min(size.x, size.y));
    const isFixed = this._feature.properties.kind === "shadow";
    const spots = [];
    for (let step = 0; step < (isFixed ? 1 : 2 * Math.hypot(size.x, size.y) / 12); step++) {
      const length = wish + (step % 2 ? -1 : 1) * Math.ceil(step / 2) * 12;
      if (length < 36 && !isFixed) continue;
      const { x, y, dx, dy } = track.at(Math.min(length, track.length));
      const reach = 4 + (Math.abs(dx) * width + Math.abs(dy) * height) / 2;
      const use = () => this._draw(track, Math.min(length, track.length), corner);
      spots.push({ x: x + dx * reach - width / 2, y: y + dy * reach - height / 2, use });
    }
    return spots;
  }

  _wish(track, view) {
    const { stroke, is_open: isOpen } = this._feature.properties;
    return isOpen ? 46 : Math.max(14, Math.min(SHARES[stroke] * view, track.length));
  }

  _draw(track, length, corner) {
    const { map } = this._sheet;
    const point = ({ x, y }) => map.unproject(L.point(x, y).add(corner));
    const [start, stop] = [track.at(Math.min(CLEAR_OF_SYMBOL, length / 2)), track.at(length)];
    this._end = point(stop);
    if (!this._isTaper) {
      this._shape.setLatLngs(track.between(Math.min(CLEAR_OF_SYMBOL, length / 2), length).map(point));
      return;
    }
    const side = ({ x, y }, half) => point({ x: x - stop.dy * half, y: y + stop.dx * half });
    this._shape.setLatLngs([side(start, 3.4), side(stop, 0.5), side(stop, -0.5), side(start, -3.4)]);
  }
}
