// Ways in and out: ink dashes; where the sea can shut them, dots on a band of shingle.

import { latlngs } from "./geometry.js";

/** Draws the legs of access routes, and those that a trip walks. */
export class Ways {
  draw(feature, sheet) {
    const { kind, label = "", note = "", is_chosen: isChosen } = feature.properties;
    const line = latlngs(feature.geometry);
    if (isChosen) sheet.line(line, "chosen-under");
    if (kind === "tidal") sheet.line(line, "shingle-band");
    sheet.line(line, kind);
    if (feature.id) sheet.listen(sheet.grip(line, false), feature);

    const lines = [[kind === "tidal" ? "tidal-word" : "way-word", label], ["note", note]];
    const order = (kind === "tidal" ? 12 : 60) - (isChosen ? 20 : 0);
    if (label || note) sheet.say({ along: line, lines, order });
  }
}
