// What can hurt: edges with teeth on the side that falls away, lines, hatched areas.

import { latlngs, Track } from "./geometry.js";

const TOOTH_EVERY = 13;
const TOOTH_LENGTH = 7;

/** Draws hazards that are lines or areas; points are symbols. */
export class Dangers {
  draw(feature, sheet) {
    const { kind, label = "", note = "", is_chosen: isChosen } = feature.properties;
    const shape = latlngs(feature.geometry);
    const isArea = kind === "area";
    if (isChosen) sheet.line(isArea ? [...shape[0], shape[0][0]] : shape, "chosen-under");
    if (isArea) sheet.area(shape, "danger-area", { fillColor: "url(#danger-hatch)" });
    else sheet.line(shape, `danger-${kind}`);
    if (kind === "edge" || kind === "drop") this._teeth(shape, sheet);
    if (feature.id) sheet.listen(sheet.grip(shape, isArea), feature);

    const lines = [["danger-word", label], ["note danger-note", note]];
    const along = isArea ? [...shape[0], shape[0][0]] : shape;
    sheet.say({ along, gap: 8, lines, order: isChosen ? 10 : 15 });
  }

  /** On the right hand of the direction in which the line was drawn. */
  _teeth(line, sheet) {
    const comb = sheet.line([], "danger-teeth");
    sheet.eachView(() => {
      const corner = sheet.map.getPixelBounds().min;
      const size = sheet.map.getSize();
      const bounds = L.bounds([-size.x, -size.y], [2 * size.x, 2 * size.y]);
      const place = (x, y) => sheet.map.unproject(L.point(x, y).add(corner));
      const teeth = Track.of(sheet.map, line).samples(TOOTH_EVERY, bounds);
      comb.setLatLngs(
        teeth.map(({ x, y, dx, dy }) => [place(x, y), place(x - dy * TOOTH_LENGTH, y + dx * TOOTH_LENGTH)]),
      );
    });
  }
}
