// Lines of equal height, from a model of the ground.

import { latlngs } from "./geometry.js";
import { spotsOn } from "./spots_on.js";

/** Hair lines; every fifth is stronger, and some carry their height. */
export class Heights {
  draw({ geometry, properties: { kind, label } }, sheet) {
    const line = latlngs(geometry);
    sheet.line(line, kind);
    if (label) sheet.say({ on: line, spots: spotsOn, lines: [["height-word", label]], order: 95 });
  }
}
