// Pictures made of the ground, laid over the map.

import { afterPaint } from "./bridge.js";

const ADDRESS = "fieldtrip://map/overlays";
const LOWEST = 421; // above the drawing of the land, below all that was drawn by hand

/** Obeys fieldtrip/desktop/map/overlays.py, and reports to it. */
export class Overlays {
  constructor(map, overlays, key) {
    Object.assign(this, { _map: map, _overlays: overlays, _layers: new Map() });
    overlays.pictureShown.connect((text) => this.show(JSON.parse(text)));
    overlays.pictureHidden.connect((name) => this.hide(name));
    overlays.keyShown.connect((text) => key.show(JSON.parse(text)));
  }

  /** The old picture stays until the new one can be seen: nothing flickers. */
  show({ name, address, number, order, box }) {
    const pane = this._pane(name, order);
    const layer = L.imageOverlay(`${ADDRESS}/${address}`, box, { pane, alt: "" });
    const before = this._layers.get(name);
    this._layers.set(name, layer);
    layer.on("load", () => {
      before?.remove();
      afterPaint(() => this._overlays.reportPicturePainted(name, number));
    });
    layer.on("error", () => {
      before?.remove();
      this._overlays.reportPicturePainted(name, number);
    });
    layer.addTo(this._map);
  }

  hide(name) {
    this._layers.get(name)?.remove();
    this._layers.delete(name);
  }

  /** The names of the pictures that are there. */
  shown() {
    return [...this._layers.keys()];
  }

  _pane(name, order) {
    const pane = `overlay-${name}`;
    if (!this._map.getPane(pane)) this._map.createPane(pane).classList.add("overlay-pane");
    this._map.getPane(pane).style.zIndex = LOWEST + order;
    return pane;
  }
}
