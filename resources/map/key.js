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
    // Told by its lines: to measure it would lay out the whole page for every minute.
    const lines = JSON.stringify(parts.map(({ rows, notes }) => [rows.length, ...notes.map(({ length }) => length >> 3)]));
    if (lines !== this._lines) this._resized();
    this._lines = lines;
  }
}
