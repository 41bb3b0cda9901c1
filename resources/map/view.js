// Where the map looks, as Python asks and as the user moves it.

/** Obeys at once, or as soon as the map has a size. */
export class View {
  constructor(map, bridge) {
    this._map = map;
    this._waiting = null;
    map.on("resize", () => this._try());
    map.on("moveend", () => {
      const { lat, lng } = map.getCenter();
      if (!this._waiting) bridge.reportViewMoved(lat, lng, map.getZoom());
    });
  }

  /** Shows a box of degrees, with room for words round it. */
  fit(south, west, north, east) {
    const box = [[south, west], [north, east]];
    this._do(() => this._map.fitBounds(box, { padding: [56, 48], maxZoom: 16, animate: false }));
  }

  /** @param {number} zoom below 0: as it is */
  lookAt(lat, lon, zoom) {
    this._do(() => this._map.setView([lat, lon], zoom < 0 ? this._map.getZoom() : zoom, { animate: false }));
  }

  _do(action) {
    this._waiting = action;
    this._try();
  }

  _try() {
    const { x, y } = this._map.getSize();
    if (!this._waiting || !x || !y) return;
    const action = this._waiting;
    this._waiting = null;
    action();
  }
}
