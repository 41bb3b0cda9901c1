// One layer as drawn: its shapes, its words, and what must be drawn anew at each zoom.

/** What a painter draws on. */
export class Sheet {
  constructor(map, name, renderer, words, bridge) {
    this.map = map;
    this.name = name;
    this.rays = [];
    this._renderer = renderer;
    this._words = words;
    this._bridge = bridge;
    this._group = L.layerGroup().addTo(map);
    this._redraws = [];
  }

  /** A line or a closed area, styled by class; `fill` may name a pattern. */
  line(latlngs, className, options = {}) {
    const look = { className, renderer: this._renderer, pane: this.name, smoothFactor: 0.5 };
    return L.polyline(latlngs, { ...look, interactive: false, ...options }).addTo(this._group);
  }

  area(latlngs, className, options = {}) {
    const look = { className, renderer: this._renderer, pane: this.name, smoothFactor: 0.5 };
    return L.polygon(latlngs, { ...look, interactive: false, ...options }).addTo(this._group);
  }

  marker(latlng, options) {
    return L.marker(latlng, { pane: this.name, ...options }).addTo(this._group);
  }

  /** Lets a shape be chosen, dragged where it may be, and asked for its menu. */
  listen(shape, feature) {
    const id = feature.id ?? "";
    shape.on("click", (event) => {
      L.DomEvent.stopPropagation(event);
      this._bridge.reportFeatureChosen(id);
    });
    shape.on("contextmenu", (event) => {
      L.DomEvent.stopPropagation(event);
      const { latlng, containerPoint: at } = event;
      this._bridge.reportContextAsked(latlng.lat, latlng.lng, id, Math.round(at.x), Math.round(at.y));
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

  /** Calls `draw` now and after each zoom. */
  eachZoom(draw) {
    this._redraws.push(draw);
    draw();
  }

  redraw() {
    this._redraws.forEach((draw) => draw());
  }

  remove() {
    this._group.remove();
    this._words.clear(this.name);
  }
}
