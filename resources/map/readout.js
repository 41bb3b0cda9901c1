// Words over the map that Python writes while one works by hand.

import { div } from "./elements.js";

/** A box of lines in the lower left; empty, it is not there. */
export class Readout {
  constructor(map) {
    this._map = map;
    this._box = div("told furniture unseen", "", map.getContainer());
    this._box.setAttribute("role", "status");
  }

  /** @param {string} text lines, each after a line break */
  show(text) {
    this._box.textContent = text;
    this._box.classList.toggle("unseen", !text);
  }
}
