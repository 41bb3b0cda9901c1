// Drawing by hand: a point, along a line, or round an area.

import { Guide } from "./guide.js";
import { Sketch } from "./sketch.js";
import { ToolKeys } from "./tool_keys.js";

const LEAST = { point: 1, line: 2, area: 3 };

/** One tool at a time, from start to finish. */
export class Tools {
  constructor(map, bridge, snap) {
    Object.assign(this, { _map: map, _bridge: bridge, _snap: snap, _tool: null });
    this._sketch = new Sketch(map);
    this._guide = new Guide(map);
    new ToolKeys(map, this);
    map.on("click", ({ latlng }) => this.isActive && this.add(snap.take(latlng)));
    map.on("dblclick", () => this.finish());
    map.on("mousemove", ({ latlng }) => this.isActive && this._sketch.aim(snap.take(latlng)));
  }

  get isActive() {
    return this._tool !== null;
  }

  start(tool, hint) {
    this._tool = tool;
    this._sketch.begin(tool === "area");
    this._guide.show(hint);
  }

  /** Leaves without a word. */
  stop() {
    this._tool = null;
    this._sketch.clear();
    this._guide.hide();
    this._snap.release();
  }

  cancel() {
    this.stop();
    this._bridge.reportToolAbandoned();
  }

  add(latlng) {
    this._sketch.add(latlng);
    if (this._tool === "point") this.finish();
  }

  addAtCross() {
    this.add(this._map.getCenter());
  }

  takeBack() {
    this._sketch.takeBack();
  }

  /** Enter: a line or an area ends, a point is set where the cross is. */
  enter() {
    if (this._tool === "point") this.addAtCross();
    else this.finish();
  }

  /** Reports what was drawn, if it is enough. */
  finish() {
    const [tool, points] = [this._tool, this._sketch.points];
    if (!this.isActive || points.length < LEAST[tool]) return;
    this.stop();
    this._bridge.reportToolFinished(tool, JSON.stringify(points.map(({ lat, lng }) => [lat, lng])));
  }
}
