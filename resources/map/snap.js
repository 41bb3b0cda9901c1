// Takes hold of points that the library has, where the pointer comes near one.

const NEAR_PIXELS = 12; // as fieldtrip/desktop/map/tools.py tells the user

/** Finds the nearest known point and rings it; never anything of a base map. */
export class Snap {
  constructor(map) {
    Object.assign(this, { _map: map, _isOff: false, _layers: null, _ring: null });
    map.createPane("snap").style.zIndex = 735;
    this._look = { renderer: L.svg({ pane: "snap" }), pane: "snap", interactive: false };
    for (const type of ["mousedown", "mousemove", "mouseup", "keydown", "keyup"]) {
      document.addEventListener(type, (event) => { this._isOff = event.altKey; }, true);
    }
  }

  /** @param {Layers} layers whose points are known */
  watch(layers) {
    this._layers = layers;
  }

  /** The known point by a position, ringed, or the position itself; `own` has none of its own. */
  take(latlng, own = "") {
    this.release();
    const found = this._isOff ? null : this._nearest(latlng, own);
    if (!found) return latlng;
    this._ring = L.circleMarker(found, { ...this._look, radius: 9, className: "snap-ring" }).addTo(this._map);
    return found;
  }

  release() {
    this._ring?.remove();
    this._ring = null;
  }

  _nearest(latlng, own) {
    const at = this._map.latLngToContainerPoint(latlng);
    const corners = [[-1, 1], [1, -1]].map(([x, y]) => at.add([x * NEAR_PIXELS, y * NEAR_PIXELS]));
    const box = L.latLngBounds(corners.map((corner) => this._map.containerPointToLatLng(corner)));
    const far = (place) => this._map.latLngToContainerPoint(place).distanceTo(at);
    const near = this._layers.anchors().filter(({ id, place }) => id !== own && box.contains(place));
    const best = near.map(({ place }) => place).sort((a, b) => far(a) - far(b))[0];
    return best && far(best) <= NEAR_PIXELS ? best : null;
  }
}
