// A small card beside what the pointer rests on, or what has the keyboard.

import { div } from "./elements.js";

const REST_MS = 350;
const OFF = 14;

/** Shows lines of text, the first as a heading. */
export class HoverCard {
  constructor(map) {
    this._map = map;
    this._box = div("hover-card unseen", "", map.getContainer());
    this._box.setAttribute("role", "tooltip");
    map.on("movestart zoomstart mousedown", () => this.hide());
  }

  /** @param {string[]} lines  @param {L.Layer} shape */
  listen(shape, lines) {
    if (!lines.length) return;
    shape.on("mouseover", ({ containerPoint }) => this._await(lines, containerPoint));
    shape.on("mouseout dragstart remove", () => this.hide());
    shape.getElement()?.addEventListener("focus", (event) => {
      if (event.target.matches(":focus-visible")) this._await(lines, this._map.latLngToContainerPoint(shape.getLatLng()));
    });
    shape.getElement()?.addEventListener("blur", () => this.hide());
  }

  hide() {
    clearTimeout(this._timer);
    this._box.classList.add("unseen");
  }

  _await(lines, at) {
    this.hide();
    this._timer = setTimeout(() => this._show(lines, at), REST_MS);
  }

  _show(lines, { x, y }) {
    this._box.replaceChildren();
    lines.forEach((line, i) => div(i ? "hover-line" : "hover-title", line, this._box));
    const size = this._map.getSize();
    const { offsetWidth: width, offsetHeight: height } = this._box;
    const left = x + OFF + width > size.x ? x - OFF - width : x + OFF;
    const top = y + OFF + height > size.y ? y - OFF - height : y + OFF;
    L.DomUtil.setPosition(this._box, L.point(Math.max(4, left), Math.max(4, top)).round());
    this._box.classList.remove("unseen");
  }
}
