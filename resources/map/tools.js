// Drawing by hand: a point, along a line, or round an area.

import { div, drawing } from "./elements.js";
import { Sketch } from "./sketch.js";
import { ToolKeys } from "./tool_keys.js";

const LEAST = { point: 1, line: 2, area: 3 };

/** One tool at a time, from start to finish. */
export class Tools {
  constructor(map, bridge) {
    this._map = map;
    this._bridge = bridge;
    this._tool = null;
    this._sketch = new Sketch(map);
    this._hint = div("hint furniture unseen", "", map.getContainer());
    this._cross = div("cross unseen", "", map.getContainer());
    this._cross.append(drawing(28, ["stroke", "M14 1v10M14 17v10M1 14h10M17 14h10"]));
    new ToolKeys(map, this);
    map.on("click", ({ latlng }) => this.isActive && this.add(latlng));
    map.on("dblclick", () => this.finish());
    map.on("mousemove", ({ latlng }) => this.isActive && this._sketch.aim(latlng));
  }

  get isActive() {
    return this._tool !== null;
  }

  get isPoint() {
    return this._tool === "point";
  }

  start(tool, hint) {
    this.stop();
    this._tool = tool;
    this._hint.textContent = hint;
    this._sketch.begin(tool === "area");
    this._show(true);
    this._map.getContainer().focus({ preventScroll: true });
  }

  /** Leaves without a word. */
  stop() {
    this._tool = null;
    this._sketch.clear();
    this._show(false);
  }

  cancel() {
    if (!this.isActive) return;
    this.stop();
    this._bridge.reportToolAbandoned();
  }

  add(latlng) {
    this._sketch.add(latlng);
    if (this.isPoint) this.finish();
  }

  addAtCross() {
    this.add(this._map.getCenter());
  }

  takeBack() {
    this._sketch.takeBack();
  }

  /** Reports what was drawn, if it is enough. */
  finish() {
    if (!this.isActive || this._sketch.points.length < LEAST[this._tool]) return;
    const [tool, points] = [this._tool, this._sketch.points];
    this.stop();
    this._bridge.reportToolFinished(tool, JSON.stringify(points.map(({ lat, lng }) => [lat, lng])));
  }

  _show(isShown) {
    this._map.getContainer().classList.toggle("tool-active", isShown);
    this._hint.classList.toggle("unseen", !isShown);
    this._cross.classList.toggle("unseen", !isShown);
    this._map.doubleClickZoom[isShown ? "disable" : "enable"]();
  }
}
