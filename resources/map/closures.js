// Where one may not go on the chosen day: lines with bars across, areas in squares.

import { latlngs } from "./geometry.js";

/** Draws closures that are lines or areas; points are symbols. */
export class Closures {
  draw(feature, sheet) {
    const { kind, label = "", note = "", is_chosen: isChosen, is_faint: isFaint } = feature.properties;
    const shape = latlngs(feature.geometry);
    const isArea = kind === "shut-area";
    const along = isArea ? [...shape[0], shape[0][0]] : shape;
    const faint = isFaint ? " faint" : "";
    if (isChosen) sheet.line(along, "chosen-under");
    if (isArea) sheet.area(shape, `shut-area${faint}`, isFaint ? {} : { fillColor: "url(#shut-hatch)" });
    else sheet.line(shape, `shut-bars${faint}`);
    sheet.line(along, `shut-line${faint}`);
    if (feature.id) sheet.listen(sheet.grip(shape, isArea), feature);

    const lines = [["shut-word", label], ["note", note]];
    sheet.say({ along, gap: 8, lines, order: isChosen ? 11 : 16 });
  }
}
