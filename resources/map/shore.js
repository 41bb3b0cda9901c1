// The rough coastline: land and lakes, with their lines.

import { latlngs } from "./geometry.js";

/** Draws areas without a line where the view cut them, and lines by themselves. */
export class Shore {
  draw({ geometry, properties: { kind } }, sheet) {
    const isLine = geometry.type.endsWith("LineString");
    sheet[isLine ? "line" : "area"](latlngs(geometry), kind, { smoothFactor: 1 });
  }
}
