// How long things are, at the middle of the view.

import { div } from "./elements.js";

const WIDEST = 130;
const METRES_PER_FOOT = 0.3048;
const METRES_PER_MILE = 1609.344;

/** A bar of a round length in metres and kilometres, or in feet and miles. */
export class ScaleBar {
  constructor(map) {
    this._map = map;
    this._unit = "m";
    this._box = div("scale furniture", "", map.getContainer());
    this._text = div("scale-word", "", this._box);
    this._bar = div("scale-bar", "", this._box);
    map.on("moveend zoomend resize", () => this._draw());
  }

  /** @param {"m"|"ft"} unit */
  setUnit(unit) {
    this._unit = unit;
    this._draw();
  }

  _draw() {
    const y = this._map.getSize().y / 2;
    const ends = [0, WIDEST].map((x) => this._map.containerPointToLatLng([x, y]));
    const widest = this._map.distance(...ends);
    if (!(widest > 0)) return;
    const [name, metres] = this._unitFor(widest);
    const count = roundBelow(widest / metres);
    this._text.textContent = `${count.toLocaleString("en", { maximumFractionDigits: 2 })} ${name}`;
    this._bar.style.width = `${(WIDEST * count * metres) / widest}px`;
  }

  _unitFor(widest) {
    if (this._unit === "ft") return widest < METRES_PER_MILE ? ["ft", METRES_PER_FOOT] : ["mi", METRES_PER_MILE];
    return widest < 1000 ? ["m", 1] : ["km", 1000];
  }
}

function roundBelow(value) {
  const power = 10 ** Math.floor(Math.log10(value));
  return power * [5, 2, 1].find((step) => step * power <= value);
}
