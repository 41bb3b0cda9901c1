// Meridians and parallels, as far apart as the zoom allows.

import { multiples } from "./angles.js";
import { EdgeWords } from "./edge_words.js";

// Degrees, from two seconds up.
const STEPS = [2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 18000, 36000, 72000].map((s) => s / 3600);
const LEAST_PIXELS = 110;
const MOST_LAT = 85;

/** Draws the net over the land and under everything else. */
export class Graticule {
  constructor(map) {
    this._map = map;
    map.createPane("graticule").style.zIndex = 425;
    this._lines = L.layerGroup().addTo(map);
    this._renderer = L.svg({ pane: "graticule", padding: 0.5 });
    this._words = new EdgeWords(map);
    map.on("moveend resize", () => this.draw());
    map.on("move", () => this._words.draw(this._step));
  }

  draw() {
    const bounds = this._map.getBounds().pad(0.5);
    const { lat: middle } = this._map.getCenter();
    this._step = { lat: this._stepDeg([1, 0], middle), lng: this._stepDeg([0, 1], middle) };
    this._lines.clearLayers();
    const [west, east] = [bounds.getWest(), bounds.getEast()];
    const [south, north] = [Math.max(-MOST_LAT, bounds.getSouth()), Math.min(MOST_LAT, bounds.getNorth())];
    for (const lng of multiples(west, east, this._step.lng)) this._line([[south, lng], [north, lng]]);
    for (const lat of multiples(south, north, this._step.lat)) this._line([[lat, west], [lat, east]]);
    this._words.draw(this._step);
  }

  _line(latlngs) {
    const look = { className: "graticule", renderer: this._renderer, pane: "graticule" };
    L.polyline(latlngs, { ...look, interactive: false }).addTo(this._lines);
  }

  _stepDeg([dLat, dLng], lat) {
    const a = this._map.project([lat - dLat / 2, 0]);
    const pixels = a.distanceTo(this._map.project([lat + dLat / 2, dLng]));
    return STEPS.find((step) => step * pixels >= LEAST_PIXELS) ?? STEPS[STEPS.length - 1];
  }
}
