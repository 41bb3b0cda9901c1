// One layer as drawn: its shapes, its words, and what must be drawn anew for each view.

import { symbolPane } from "./panes.js";

/** What a painter draws on. */
export class Sheet {
  constructor(map, name, renderer, words, bridge) {
    Object.assign(this, { map, name, rays: [], _words: words, _bridge: bridge, _views: [] });
    this._look = { renderer, pane: name, smoothFactor: 0.5, interactive: false };
    this._group = L.layerGroup().addTo(map);
  }

  get isEmpty() {
    return this._group.getLayers().length === 0;
  }

  /** A line of positions, styled by class. */
  line(latlngs, className, options = {}) {
    return L.polyline(latlngs, { ...this._look, className, ...options }).addTo(this._group);
  }

  /** A closed area; `fillColor` may name a pattern. */
  area(latlngs, className, options = {}) {
    return L.polygon(latlngs, { ...this._look, className, ...options }).addTo(this._group);
  }

  /** What the pointer can take hold of, broader than what is seen. */
  grip(latlngs, isArea) {
    return this[isArea ? "area" : "line"](latlngs, `grip${isArea ? " grip-area" : ""}`, { interactive: true });
  }

  marker(latlng, options) {
    return L.marker(latlng, { pane: symbolPane(this.name), ...options }).addTo(this._group);
  }

  /** Lets a shape be chosen, dragged where it may be, and asked for its menu. */
  listen(shape, { id }) {
    shape.on("click contextmenu", L.DomEvent.stopPropagation);
    shape.on("click", () => this._bridge.reportFeatureChosen(id));
    shape.on("keypress", ({ originalEvent: { key } }) => key === "Enter" && this._bridge.reportFeatureChosen(id));
    shape.on("contextmenu", ({ latlng: { lat, lng }, containerPoint: { x, y } }) => {
      this._bridge.reportContextAsked(lat, lng, id, Math.round(x), Math.round(y));
    });
    shape.on("dragend", () => {
      const { lat, lng } = shape.getLatLng();
      this._bridge.reportFeatureDropped(id, lat, lng);
    });
  }

  /** Words on the map; see Words.add. */
  say(label) {
    this._words.add(this.name, label);
  }

  /** Calls `draw` now and for each new view. */
  eachView(draw) {
    this._views.push(draw);
    draw();
  }

  redraw() {
    for (const draw of this._views) draw();
  }

  remove() {
    this._group.remove();
    this._words.clear(this.name);
  }
}
