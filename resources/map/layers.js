// GeoJSON layers by name.

import { afterPaint } from "./bridge.js";
import { Painter } from "./painter.js";
import { Panes } from "./panes.js";
import { Sheet } from "./sheet.js";

/** Draws named layers on a Leaflet map, each in place of the last of its name. */
export class Layers {
  constructor(map, words, bridge) {
    Object.assign(this, { _map: map, _words: words, _bridge: bridge });
    this._painter = new Painter();
    this._panes = new Panes(map);
    this._sheets = new Map();
    map.on("moveend resize", () => {
      this._sheets.forEach((sheet) => sheet.redraw());
      this._words.layout();
    });
  }

  /** @param {string} geojson FeatureCollection, as text  @param {number} number of the update */
  show(name, geojson, number) {
    this._remove(name);
    const sheet = new Sheet(this._map, name, this._panes.renderer(name), this._words, this._bridge);
    this._sheets.set(name, sheet);
    try {
      this._painter.paint(JSON.parse(geojson), sheet);
    } finally {
      // Whatever went wrong, Python must not wait for ever with the next update.
      afterPaint((isPainted) => this._bridge.reportDrawn(name, number, isPainted));
      this._settle();
    }
  }

  hide(name) {
    this._remove(name);
    this._settle();
  }

  setVisible(name, isVisible) {
    this._panes.setVisible(name, isVisible);
    this._words.setVisible(name, isVisible);
    this._settle();
  }

  /** What stands on the map of rays: numbers, to be compared with Python's. */
  rays() {
    return [...this._sheets.values()].flatMap((sheet) => sheet.rays.map((ray) => ray.facts()));
  }

  _remove(name) {
    this._sheets.get(name)?.remove();
    this._sheets.delete(name);
  }

  _settle() {
    const isAtSea = this._sheets.get("outline")?.isEmpty === false;
    this._map.getContainer().classList.toggle("at-sea", isAtSea);
    this._words.layout();
  }
}
