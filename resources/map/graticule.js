// Meridians and parallels, as far apart as the zoom allows, labelled at the edges.

import { div } from "./elements.js";

const STEPS_MINUTES = [1 / 60, 2 / 60, 5 / 60, 10 / 60, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800];
const LEAST_PIXELS = 110;

/** Draws the net of degrees and minutes under everything but the land. */
export class Graticule {
  constructor(map) {
    this._map = map;
    map.createPane("graticule").style.zIndex = 425;
    this._lines = L.layerGroup().addTo(map);
    this._renderer = L.svg({ pane: "graticule", padding: 0.5 });
    this._edge = div("edge-words", "", map.getContainer());
    map.on("moveend zoomend resize", () => this.draw());
    map.on("move", () => this._label());
  }

  draw() {
    const bounds = this._map.getBounds().pad(0.5);
    const { lat } = this._map.getCenter();
    this._step = { lat: this._stepDeg([1, 0], lat), lng: this._stepDeg([0, 1], lat) };
    this._lines.clearLayers();
    const [south, north] = [Math.max(-85, bounds.getSouth()), Math.min(85, bounds.getNorth())];
    for (const lng of multiples(bounds.getWest(), bounds.getEast(), this._step.lng)) this._line([[south, lng], [north, lng]]);
    for (const y of multiples(south, north, this._step.lat)) this._line([[y, bounds.getWest()], [y, bounds.getEast()]]);
    this._label();
  }

  _line(latlngs) {
    const look = { className: "graticule", renderer: this._renderer, pane: "graticule" };
    L.polyline(latlngs, { ...look, interactive: false, noClip: true }).addTo(this._lines);
  }

  _label() {
    if (!this._step) return;
    const bounds = this._map.getBounds();
    const centre = this._map.getCenter();
    this._edge.replaceChildren();
    for (const lng of multiples(bounds.getWest(), bounds.getEast(), this._step.lng)) {
      const { x } = this._map.latLngToContainerPoint([centre.lat, lng]);
      this._word(angleText(((lng + 540) % 360) - 180, "E", "W", this._step.lng), x + 3, 2);
    }
    for (const lat of multiples(Math.max(-85, bounds.getSouth()), Math.min(85, bounds.getNorth()), this._step.lat)) {
      const { y } = this._map.latLngToContainerPoint([lat, centre.lng]);
      this._word(angleText(lat, "N", "S", this._step.lat), 4, y + 1);
    }
  }

  _word(text, x, y) {
    L.DomUtil.setPosition(div("edge-word", text, this._edge), L.point(x, y));
  }

  _stepDeg([dLat, dLng], lat) {
    const a = this._map.project([lat - dLat / 2, 0]);
    const pixels = a.distanceTo(this._map.project([lat + dLat / 2, dLng]));
    return (STEPS_MINUTES.find((minutes) => (minutes / 60) * pixels >= LEAST_PIXELS) ?? 1800) / 60;
  }
}

function multiples(from, to, step) {
  const first = Math.ceil(from / step);
  return Array.from({ length: Math.max(0, Math.floor(to / step) - first + 1) }, (_, i) => (first + i) * step);
}

function angleText(angle, positive, negative, step) {
  const seconds = Math.round(Math.abs(angle) * 3600);
  const [d, m, s] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  const side = seconds === 0 ? "" : ` ${angle > 0 ? positive : negative}`;
  const fine = step < 1 / 60 ? ` ${String(s).padStart(2, "0")}″` : "";
  return `${d}°${step < 1 ? ` ${String(m).padStart(2, "0")}′` : ""}${fine}${side}`;
}
