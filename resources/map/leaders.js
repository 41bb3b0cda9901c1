// Hair lines from words that found no place close by to what they speak of.

/** Drawn anew with each layout. */
export class Leaders {
  constructor(map) {
    this._map = map;
    map.createPane("leaders").style.zIndex = 690;
    this._renderer = L.svg({ pane: "leaders", padding: 0.5 });
    this._group = L.layerGroup().addTo(map);
  }

  clear() {
    this._group.clearLayers();
  }

  /** From a point of the view to the nearest one of a box. */
  draw({ x, y }, box) {
    const near = [Math.min(Math.max(x, box.x), box.right), Math.min(Math.max(y, box.y), box.bottom)];
    const ends = [[x, y], near].map((point) => this._map.containerPointToLatLng(point));
    const look = { className: "leader", renderer: this._renderer, pane: "leaders" };
    L.polyline(ends, { ...look, interactive: false }).addTo(this._group);
  }
}
