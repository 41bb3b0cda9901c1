// Hatching: slanting where it can hurt, crossed where it is shut.

import { svg } from "./elements.js";

/** Adds the patterns that shapes name as `url(#…)`. */
export function addPatterns() {
  const line = svg("path", { class: "danger-hatch", d: "M-2 2 2 -2M0 8 8 0M6 10 10 6" });
  const pattern = svg("pattern", { id: "danger-hatch", width: 8, height: 8, patternUnits: "userSpaceOnUse" }, line);
  const bars = svg("path", { class: "shut-hatch", d: "M0 5H10M5 0V10" });
  const grid = svg("pattern", { id: "shut-hatch", width: 10, height: 10, patternUnits: "userSpaceOnUse" }, bars);
  document.body.append(svg("svg", { class: "patterns", width: 0, height: 0 }, svg("defs", {}, pattern, grid)));
}
