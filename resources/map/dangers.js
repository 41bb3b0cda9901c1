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
    if (isChosen) sheet.line(shape, "chosen-under");
    if (isArea) sheet.area(shape, "danger-area", { fillColor: "url(#danger-hatch)", fillOpacity: 1 });
    else sheet.line(shape, `danger-${kind}`);
    if (kind === "edge") this._teeth(shape, sheet);
    const grip = isArea ? sheet.area(shape, "grip", { interactive: true }) : sheet.line(shape, "grip", { interactive: true });
    if (feature.id) sheet.listen(grip, feature);

    const lines = [["danger-word", label], ["note danger-note", note]];
    const at = isArea ? L.latLngBounds(shape.flat()).getCenter() : shape[Math.floor((shape.length - 1) / 2)];
    sheet.say({ at, gap: 10, lines, order: isChosen ? 10 : 15, isCentred: isArea });
  }

  /** On the right hand of the direction in which the line was drawn. */
  _teeth(line, sheet) {
    const comb = sheet.line([], "danger-teeth");
    sheet.eachZoom(() => {
      const track = new Track(line.map((latlng) => sheet.map.project(latlng)));
      const teeth = [];
      for (let s = TOOTH_EVERY / 2; s < track.length; s += TOOTH_EVERY) {
        const { x, y, dx, dy } = track.at(s);
        const tip = [x - dy * TOOTH_LENGTH, y + dx * TOOTH_LENGTH];
        teeth.push([sheet.map.unproject([x, y]), sheet.map.unproject(tip)]);
      }
      comb.setLatLngs(teeth);
    });
  }
}
