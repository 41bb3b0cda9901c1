// A bearing as a ray of ink that carries its own words at its end.

import { latlngs, Track } from "./geometry.js";
import { spotsAtEnd } from "./spots.js";
import { Stroke } from "./stroke.js";

const CLEAR_OF_SYMBOL = 11;
const STEP = 14;
const SHORTEST = 40;
const OPEN_SHADOW = 46;
// Of the shorter side of the view: unlike, so that rays close together end apart.
const SHARES = { solid: 0.36, dash: 0.4, dots: 0.33, "dots-wide": 0.38, taper: 0.3, "taper-dots": 0.26, hatch: 0.6, look: 0.44 };

/** Draws a geodesic that Python worked out, as far as the view and its words allow. */
export class Ray {
  constructor(feature, sheet) {
    this._properties = feature.properties;
    this._sheet = sheet;
    this._line = latlngs(feature.geometry);
    this._isShadow = feature.properties.kind === "shadow";
    this._stroke = new Stroke(sheet, feature.properties);
    [this._end] = this._line;
    const { label, is_faint: isFaint, stroke } = feature.properties;
    const className = this._isShadow ? "shadow-word" : `ray-word${isFaint ? " faint-word" : ""}`;
    const order = this._isShadow ? 5 : stroke === "taper" ? 1 : 2;
    sheet.say({ lines: [[className, label]], order, isKept: true, spots: (box, map) => this._spots(box, map) });
  }

  /** What stands on the map: its bearing as told, and the ends as drawn. */
  facts() {
    const { azimuth_deg, label, kind, stroke } = this._properties;
    const [start, end] = [this._line[0], this._end].map(({ lat, lng }) => [lat, lng]);
    return { layer: this._sheet.name, kind, stroke, azimuth_deg, label, start, end };
  }

  /** Places for the words, best first; to use one draws the ray up to it. */
  _spots({ width, height }, map) {
    const track = Track.of(map, this._line);
    const { x, y } = map.getSize();
    const lengths = [this._wish(track, Math.min(x, y))];
    for (let off = STEP; !this._isShadow && off < Math.hypot(x, y); off += STEP) lengths.push(lengths[0] + off, lengths[0] - off);
    return lengths.filter((length, i) => i === 0 || (length > SHORTEST && length < track.length)).flatMap((length) => {
      const use = (room) => this._draw(track, length, map, room);
      return spotsAtEnd(track.at(length), width, height).map((spot) => ({ ...spot, use }));
    });
  }

  _wish(track, view) {
    if (this._properties.is_open) return OPEN_SHADOW;
    return Math.min(SHARES[this._properties.stroke] * view, track.length);
  }

  _draw(track, length, map, room) {
    const ends = [track.at(Math.min(CLEAR_OF_SYMBOL, length / 2)), track.at(length)];
    const corner = map.getPixelBounds().min;
    const place = ({ x, y }) => map.unproject(L.point(x, y).add(corner));
    this._end = place(ends[1]);
    this._stroke.draw(ends, place);
    room.addInk(new Track(ends.map(({ x, y }) => L.point(x, y))));
  }
}
