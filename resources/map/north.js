// North is up; the mark says so.

import { div, drawing } from "./elements.js";

/** An arrow with its letter in the corner of the map. */
export class NorthMark {
  constructor(map) {
    const mark = div("north furniture", "", map.getContainer());
    mark.append(drawing(26, ["solid", "M13 2 19 23 13 18.5z"], ["open", "M13 2 7 23 13 18.5z"]));
    div("north-word", "N", mark);
  }
}
