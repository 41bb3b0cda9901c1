// GeoJSON layers by name.

import { afterPaint } from "./bridge.js";
import { Later } from "./later.js";
import { Painter } from "./painter.js";
import { Sheet } from "./sheet.js";

const CROWD = 20; // of marks, from which on a layout is not done twice for one move

/** Draws named layers on a Leaflet map, each in place of the last of its name. */
export class Layers {
  constructor(map, panes, words, bridge, hold) {
    Object.assign(this, { _map: map, _panes: panes, _words: words, _bridge: bridge, _hold: hold, _unseen: new Set() });
    Object.assign(this, { _painter: new Painter(), _sheets: new Map() });
    this.layout = new Later(() => words.layout()); // after a move Python may send more
    map.on("moveend resize", () => {
      this._sheets.forEach((sheet) => sheet.redraw());
      this.layout[this._sheets.get("around")?.anchors.length > CROWD ? "soon" : "now"]();
    });
  }

  /** @param {string} geojson FeatureCollection, as text  @param {number} number of the update */
  show(name, geojson, number) {
    const { focused } = this._hold;
    this._remove(name);
    const sheet = new Sheet(this._map, name, this._panes.renderer(name), this._words, this._hold);
    this._sheets.set(name, sheet);
    try {
      this._painter.paint(JSON.parse(geojson), sheet);
    } finally {
      // Whatever went wrong, Python must not wait for ever with the next update.
      afterPaint((isPainted) => this._bridge.reportDrawn(name, number, isPainted));
      this._settle("beforePaint");
      this._hold.refocus(focused);
    }
  }

  hide(name) {
    this._remove(name);
    this._settle();
  }

  setVisible(name, isVisible) {
    this._unseen[isVisible ? "delete" : "add"](name);
    this._panes.setVisible(name, isVisible);
    this._words.setVisible(name, isVisible);
    this._settle();
  }

  /** What stands on the map of rays: numbers, to be compared with Python's. */
  rays() {
    return [...this._sheets.values()].flatMap((sheet) => sheet.rays.map((ray) => ray.facts()));
  }

  /** Points of records that can be seen: { id, place } each. */
  anchors() {
    return [...this._sheets].flatMap(([name, sheet]) => (this._unseen.has(name) ? [] : sheet.anchors));
  }

  _remove(name) {
    this._sheets.get(name)?.remove();
    this._sheets.delete(name);
  }

  _settle(when = "now") {
    this._map.getContainer().classList.toggle("at-sea", this._sheets.get("outline")?.isEmpty === false);
    this.layout[when]();
  }
}
