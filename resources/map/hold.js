// What one does to things on the map: choose, choose more, drag, ask for a menu, look closely.

import { latlngs } from "./geometry.js";

/** Reports gestures on shapes that stand for records. */
export class Hold {
  constructor(map, bridge, handwork, snap, card) {
    Object.assign(this, { _map: map, _bridge: bridge, _handwork: handwork, _snap: snap, _card: card });
  }

  /** Lets a shape be chosen, dragged where it may be, and asked for its menu. */
  listen(shape, feature, sheet) {
    const { id, geometry, properties } = feature;
    sheet.anchors.push(...[latlngs(geometry)].flat(2).map((place) => ({ id, place })));
    const element = shape.getElement();
    if (element) element.dataset.id = id;
    shape.on("click contextmenu", L.DomEvent.stopPropagation);
    shape.on("click", ({ originalEvent }) => this._choose(feature, originalEvent));
    shape.on("keypress", ({ originalEvent }) => originalEvent.key === "Enter" && this._choose(feature, originalEvent));
    shape.on("contextmenu", ({ latlng: { lat, lng }, containerPoint: { x, y } }) => {
      this._card.hide();
      this._bridge.reportContextAsked(lat, lng, properties.box ? "" : id, Math.round(x), Math.round(y));
    });
    shape.on("drag", () => this._snap.take(shape.getLatLng(), id));
    shape.on("dragend", () => this._drop(shape, id));
    this._card.listen(shape, properties.card ?? []);
  }

  /** The record whose mark has the keyboard. */
  get focused() {
    return document.activeElement?.dataset.id ?? "";
  }

  /** Gives the keyboard back to a record whose mark was drawn anew. */
  refocus(id) {
    if (!id || this.focused === id) return;
    document.querySelector(`.leaflet-marker-icon[data-id="${CSS.escape(id)}"]`)?.focus({ preventScroll: true });
  }

  _choose({ id, properties }, { ctrlKey, metaKey, shiftKey }) {
    this._card.hide();
    if (properties.box) this._map.fitBounds(properties.box, { padding: [60, 60], maxZoom: 16, animate: false });
    else if (ctrlKey || metaKey || shiftKey) this._handwork.reportMoreChosen(id);
    else this._bridge.reportFeatureChosen(id);
  }

  _drop(shape, id) {
    const place = this._snap.take(shape.getLatLng(), id);
    this._snap.release();
    shape.setLatLng(place);
    this._bridge.reportFeatureDropped(id, place.lat, place.lng);
  }
}
