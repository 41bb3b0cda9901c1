// What the pictures over the map mean: small swatches, and whence they come.

import { div } from "./elements.js";

/** A box at the right hand; empty, it is not there. */
export class Key {
  /** @param {() => void} resized called when other things must make way, or may come back */
  constructor(map, resized) {
    this._resized = resized;
    this._box = div("key furniture unseen", "", map.getContainer());
    this._box.setAttribute("role", "note");
    this._box.setAttribute("aria-label", "Key of the map");
  }

  /** @param {{heading: string, rows: {swatch: string, text: string}[], notes: string[]}[]} parts */
  show(parts) {
    const before = this._size();
    this._box.replaceChildren();
    for (const { heading, rows, notes } of parts) {
      if (heading) div("key-heading", heading, this._box);
      for (const { swatch, text } of rows) {
        const row = div("key-row", "", this._box);
        div(`key-swatch key-${swatch}`, "", row);
        div("key-text", text, row);
      }
      for (const note of notes) div("key-note", note, this._box);
    }
    this._box.classList.toggle("unseen", !parts.length);
    if (this._size() !== before) this._resized();
  }

  _size() {
    return `${this._box.offsetWidth} ${this._box.offsetHeight}`;
  }
}
