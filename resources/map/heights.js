// Lines of equal height, from a model of the ground.

import { latlngs } from "./geometry.js";

/** Hair lines; every fifth is stronger, and some carry their height. */
export class Heights {
  draw({ geometry, properties: { kind, label } }, sheet) {
    const line = latlngs(geometry);
    sheet.line(line, kind);
    if (label) sheet.say({ along: line, lines: [["height-word", label]], order: 95 });
  }
}
