// Circles of a distance round a point, and the lengths of what is being measured.

import { latlngs } from "./geometry.js";

/** Draws what helps one judge a distance. */
export class Aids {
  draw({ geometry, properties: { kind, label } }, sheet) {
    const line = latlngs(geometry);
    if (kind === "measured") {
      sheet.say({ along: line, gap: 4, lines: [["measured-word", label]], order: 3 });
      return;
    }
    sheet.line(line, "range-ring", { smoothFactor: 0 });
    sheet.say({ at: line[0], guard: 0, lines: [["range-word", label]], order: 70 });
  }
}
