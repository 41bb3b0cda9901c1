// One layer as drawn: its shapes, its words, and what must be drawn anew for each view.

import { symbolPane } from "./panes.js";

/** What a painter draws on. */
export class Sheet {
  constructor(map, name, renderer, words, hold) {
    Object.assign(this, { map, name, rays: [], anchors: [], _words: words, _hold: hold, _views: [] });
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
  listen(shape, feature) {
    this._hold.listen(shape, feature, this);
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
