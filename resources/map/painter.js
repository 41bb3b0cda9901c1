// Chooses who draws a feature, by what its `kind` says it is.

import { Aids } from "./aids.js";
import { Closures } from "./closures.js";
import { Dangers } from "./dangers.js";
import { Heights } from "./heights.js";
import { Outline } from "./outline.js";
import { Ray } from "./ray.js";
import { Shore } from "./shore.js";
import { Struck } from "./struck.js";
import { Symbols } from "./symbols.js";
import { Ways } from "./ways.js";

/** Draws feature collections on sheets. */
export class Painter {
  constructor() {
    const [closures, dangers, outline, symbols, ways] = [new Closures(), new Dangers(), new Outline(), new Symbols(), new Ways()];
    const aids = new Aids();
    const heights = new Heights();
    const shore = new Shore();
    this._painters = {
      water: outline, shingle: outline, contour: outline,
      location: symbols, vantage: symbols, subject: symbols, refuge: symbols, start: symbols,
      cluster: symbols, danger: symbols, quiet: symbols, stop: symbols, "shut-point": symbols,
      leg: ways, tidal: ways, walk: ways, "no-route": ways, struck: new Struck(), here: symbols,
      measured: aids, ring: aids,
      "height-line": heights, "height-line-main": heights,
      edge: dangers, drop: dangers, line: dangers, area: dangers,
      "coast-land": shore, "coast-water": shore, "coast-shore": shore,
      "coast-land coast-shore": shore, "coast-water coast-shore": shore,
      "shut-line": closures, "shut-area": closures,
    };
    this._outline = outline;
  }

  /** @param {object} collection a GeoJSON FeatureCollection  @param {Sheet} sheet */
  paint(collection, sheet) {
    const { features } = collection;
    this._outline.drawLand(features.filter((feature) => feature.properties.kind === "land"), sheet);
    for (const feature of features) {
      const kind = feature.properties.kind;
      if (kind === "ray" || kind === "shadow") sheet.rays.push(new Ray(feature, sheet));
      else this._painters[kind]?.draw(feature, sheet);
    }
  }
}

