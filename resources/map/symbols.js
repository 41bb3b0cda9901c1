// Points: every kind has a shape of its own, and words.

import { drawing } from "./elements.js";
import { latlngs } from "./geometry.js";

const SIZE = 24;
const SHAPES = {
  location: [["ring", "M12 9a3 3 0 1 0 .01 0z"]],
  vantage: [["open", "M12 4.5 20 18.5H4z"]],
  subject: [["solid", "M9.5 3.5h5L16.5 20.5h-9z"]],
  refuge: [["open", "M4.5 11 12 4.5 19.5 11v9h-15z"], ["stroke", "M8.5 15.5h7"]],
  start: [["open", "M5 4.500h14v15h-14z"], ["stroke", "M12 8v8M8.500 12h7"]],
  danger: [["peril", "M12 2.5 21.5 12 12 21.5 2.5 12z"], ["peril-mark", "M12 7.5v5.5M12 15.700v.6"]],
  "shut-point": [["open", "M3.5 8.500h17v3.500h-17z"], ["open", "M3.5 15h17v3.500h-17z"], ["stroke", "M6 4.500v17M18 4.500v17"]],
  cluster: [["cluster-under", "M9 6.500a6 6 0 1 0 .01 0z"], ["ring", "M14 4.500a7 7 0 1 0 .01 0z"]],
  quiet: [["open", "M12 8 16.500 16h-9z"]],
  here: [["here-under", "M12 5a7 7 0 1 0 .01 0z"], ["here-dot", "M12 8.500a3.500 3.500 0 1 0 .01 0z"]],
  stop: [["ring-wide", "M12 1.5a10.5 10.5 0 1 0 .01 0z"]],
};
const ORDERS = { danger: 20, "shut-point": 22, vantage: 40, stop: 42, here: 8, subject: 45, refuge: 30, start: 32, location: 35, cluster: 50, quiet: 95 };

/** Draws points as small pictures with their words beside them. */
export class Symbols {
  draw(feature, sheet) {
    const { kind, label = "", note = "", is_chosen: isChosen, draggable } = feature.properties;
    const at = latlngs(feature.geometry);
    const picture = drawing(SIZE, ...SHAPES[kind]);
    const className = `symbol ${kind}${isChosen ? " chosen" : ""}${draggable ? " movable" : ""}`;
    const icon = L.divIcon({ html: picture, className, iconSize: [SIZE, SIZE] });
    const options = { icon, draggable: draggable ?? false, keyboard: true, alt: "" };
    const marker = sheet.marker(at, { ...options, zIndexOffset: isChosen ? 1000 : 0 });
    marker.getElement().setAttribute("aria-label", `${label} ${note}`.trim());
    if (feature.id) sheet.listen(marker, feature);

    const lines = [[`${kind}-word${isChosen ? " chosen-word" : ""}`, label], [kind === "danger" ? "note danger-note" : "note", note]];
    const order = ORDERS[kind] - (isChosen ? 30 : 0);
    sheet.say({ at, guard: kind === "location" ? 4 : 10, lines, order, isKept: Boolean(isChosen), isClose: sheet.name === "around" && kind === "location" });
  }
}
