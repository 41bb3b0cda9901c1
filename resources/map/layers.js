// GeoJSON layers by name, each drawn in a pane of its own.

import { afterPaint } from "./bridge.js";
import { Painter } from "./painter.js";
import { Sheet } from "./sheet.js";

// From the ground up.
const ORDER = ["outline", "places", "routes", "hazards", "plan", "sun", "moon"];

/** Draws named layers on a Leaflet map, each in place of the last of its name. */
export class Layers {
  constructor(map, words, bridge) {
    this._map = map;
    this._words = words;
    this._bridge = bridge;
    this._painter = new Painter();
    this._sheets = new Map();
    this._hidden = new Set();
    this._renderers = new Map();
    map.on("zoomend", () => this._sheets.forEach((sheet) => sheet.redraw()));
    map.on("moveend resize", () => this._words.layout());
  }

  /** @param {string} geojson FeatureCollection, as text  @param {number} number of the update */
  show(name, geojson, number) {
    this.hide(name, false);
    const sheet = new Sheet(this._map, name, this._renderer(name), this._words, this._bridge);
    this._sheets.set(name, sheet);
    this._painter.paint(JSON.parse(geojson), sheet);
    this._settle(name);
    afterPaint((isPainted) => this._bridge.reportDrawn(name, number, isPainted));
  }

  hide(name, isLast = true) {
    this._sheets.get(name)?.remove();
    this._sheets.delete(name);
    if (isLast) this._settle(name);
  }

  setVisible(name, isVisible) {
    this._hidden[isVisible ? "delete" : "add"](name);
    this._settle(name);
  }

  /** What stands on the map of rays: numbers, to be compared with Python's. */
  rays() {
    return [...this._sheets.values()].flatMap((sheet) => sheet.rays.map((ray) => ray.facts()));
  }

  _settle(name) {
    const isHidden = this._hidden.has(name);
    this._map.getPane(name)?.classList.toggle("unseen", isHidden);
    this._words.setVisible(name, !isHidden);
    if (name === "outline") this._map.getContainer().classList.toggle("at-sea", this._sheets.has(name));
    this._words.layout();
  }

  _renderer(name) {
    if (!this._renderers.has(name)) {
      this._map.createPane(name).style.zIndex = 410 + 10 * (ORDER.indexOf(name) + 1 || 9);
      this._renderers.set(name, L.svg({ pane: name, padding: 0.5 }));
    }
    return this._renderers.get(name);
  }
}
