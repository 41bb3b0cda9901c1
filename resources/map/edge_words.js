// The graticule's figures, light, at the upper and left edges.

import { multiples, roundAngle } from "./angles.js";
import { div } from "./elements.js";

// Kept clear for the north mark, the zoom buttons and the scale.
const CORNER = { x: 66, y: 78 };
const FOOT = 44;

/** Moves with the map, but stays at the edges of the view. */
export class EdgeWords {
  constructor(map) {
    this._map = map;
    this._edge = div("edge-words", "", map.getContainer());
  }

  /** @param {{lat: number, lng: number}} [step] degrees between the lines */
  draw(step) {
    if (!step) return;
    const bounds = this._map.getBounds();
    const centre = this._map.getCenter();
    this._edge.replaceChildren();
    for (const lng of multiples(bounds.getWest(), bounds.getEast(), step.lng)) {
      const { x } = this._map.latLngToContainerPoint([centre.lat, lng]);
      const { lng: wrapped } = L.latLng(0, lng).wrap();
      this._word(roundAngle(wrapped, "E", "W", step.lng), x + 3, 2);
    }
    for (const lat of multiples(Math.max(-85, bounds.getSouth()), Math.min(85, bounds.getNorth()), step.lat)) {
      const { y } = this._map.latLngToContainerPoint([lat, centre.lng]);
      this._word(roundAngle(lat, "N", "S", step.lat), 4, y + 1);
    }
  }

  _word(text, x, y) {
    const size = this._map.getSize();
    if ((x < CORNER.x && y < CORNER.y) || x > size.x - CORNER.x || y > size.y - FOOT) return;
    L.DomUtil.setPosition(div("edge-word", text, this._edge), L.point(x, y));
  }
}
