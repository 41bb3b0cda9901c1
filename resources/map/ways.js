// Ways in and out: ink dashes; where the sea can shut them, dots on a band of shingle;
// and the dotted line of a plan where nobody knows a way.

import { latlngs } from "./geometry.js";

const WORDS = { tidal: "tidal-word", "no-route": "no-route-word" };
const ORDERS = { tidal: 12, "no-route": 14 };

/** Draws the legs of access routes, and those that a trip walks. */
export class Ways {
  draw(feature, sheet) {
    const { kind, label = "", note = "", is_chosen: isChosen } = feature.properties;
    const line = latlngs(feature.geometry);
    if (isChosen) sheet.line(line, "chosen-under");
    if (kind === "tidal") sheet.line(line, "shingle-band");
    sheet.line(line, kind);
    if (feature.id) sheet.listen(sheet.grip(line, false), feature);

    const lines = [[WORDS[kind] ?? "way-word", label], ["note", note]];
    const order = (ORDERS[kind] ?? 60) - (isChosen ? 20 : 0);
    if (label || note) sheet.say({ along: line, lines, order });
  }
}
