// The lie of the land: shore, water and what falls dry.

import { latlngs } from "./geometry.js";

/** Draws land with a few pale lines of water round it, as engraved charts have. */
export class Outline {
  /** All of it at once: the water lines of one island stay under its neighbour. */
  drawLand(features, sheet) {
    const shapes = features.map((feature) => latlngs(feature.geometry));
    for (const className of ["shoal-outer", "shoal-inner", "land"]) {
      for (const shape of shapes) sheet.area(shape, className);
    }
    features.forEach(({ properties }, i) => this._name(properties, shapes[i], "land-word", sheet));
  }

  draw({ geometry, properties }, sheet) {
    const shape = latlngs(geometry);
    const isLine = geometry.type.endsWith("LineString");
    if (isLine) sheet.line(shape, properties.kind);
    else sheet.area(shape, properties.kind);
    this._name(properties, shape, `${properties.kind}-word`, sheet);
  }

  _name({ name }, shape, className, sheet) {
    const bounds = L.latLngBounds(shape.flat(2));
    if (!name || !bounds.isValid()) return;
    sheet.say({ at: bounds.getCenter(), lines: [[className, name]], order: 90, isCentred: true });
  }
}
