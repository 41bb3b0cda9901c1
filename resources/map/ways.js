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
    if (feature.id) sheet.listen(sheet.line(line, "grip", { interactive: true }), feature);

    const lines = [[kind === "tidal" ? "tidal-word" : "way-word", label], ["note", note]];
    const order = (kind === "tidal" ? 25 : 60) - (isChosen ? 20 : 0);
    sheet.say({ at: this._middle(line), guard: 0, gap: 9, lines, order });
  }

  _middle(line) {
    if (line.length % 2) return line[(line.length - 1) / 2];
    const [a, b] = [line[line.length / 2 - 1], line[line.length / 2]];
    return L.latLng((a.lat + b.lat) / 2, (a.lng + b.lng) / 2);
  }
}
