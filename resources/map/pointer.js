// What lies under the pointer, and clicks on the bare map.

import { decimal, degreesMinutes } from "./angles.js";
import { div } from "./elements.js";

/** Writes the coordinates under the pointer and reports them, once a frame at most. */
export class Pointer {
  constructor(map, bridge) {
    this._bridge = bridge;
    this._box = div("readout furniture unseen", "", map.getContainer());
    this._latest = null;
    map.on("mousemove", ({ latlng }) => this._move(latlng.wrap()));
    map.on("mouseout", () => this._leave());
    // With a tool in use the keyboard points with the middle of the map.
    map.on("move", () => map.getContainer().matches(".tool-active") && this._move(map.getCenter().wrap()));
    map.on("contextmenu", ({ latlng, containerPoint: at }) => {
      bridge.reportContextAsked(latlng.lat, latlng.lng, "", Math.round(at.x), Math.round(at.y));
    });
    map.getContainer().addEventListener("contextmenu", (event) => event.preventDefault());
  }

  _move(latlng) {
    if (!this._latest) requestAnimationFrame(() => this._report());
    this._latest = latlng;
  }

  _report() {
    if (!this._latest) return;
    const { lat, lng } = this._latest;
    this._latest = null;
    this._box.classList.remove("unseen");
    const minutes = `${degreesMinutes(lat, "N", "S")} ${degreesMinutes(lng, "E", "W")}`;
    this._box.textContent = `${decimal(lat)}, ${decimal(lng)}  ·  ${minutes}`;
    this._bridge.reportPointerMoved(lat, lng);
  }

  _leave() {
    this._latest = null;
    this._box.classList.add("unseen");
    this._bridge.reportPointerLeft();
  }
}
