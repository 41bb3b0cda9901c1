// Measuring by hand: points along the way; Python says how far and in what direction.

import { Guide } from "./guide.js";
import { Sketch } from "./sketch.js";
import { ToolKeys } from "./tool_keys.js";

/** Reports points as they are set; nothing of it is kept. */
export class Measure {
  constructor(map, handwork, snap) {
    Object.assign(this, { _map: map, _handwork: handwork, _snap: snap, isActive: false, _isClosed: false });
    [this._sketch, this._guide, this._keys] = [new Sketch(map), new Guide(map), new ToolKeys(map, this)];
    map.on("click", ({ latlng }) => this.isActive && this.add(snap.take(latlng)));
    map.on("mousemove", ({ latlng }) => this.isActive && !this._isClosed && this._aim(snap.take(latlng)));
  }

  start(hint) {
    this.isActive = true;
    this._begin(false, []);
    this._guide.show(hint);
  }

  stop() {
    this.isActive = false;
    this._sketch.clear();
    this._guide.hide();
    this._snap.release();
  }

  cancel() {
    this.stop();
    this._handwork.reportMeasureEnded();
  }

  /** Sets a point; one on the first closes the ring, one after that begins anew. */
  add(latlng) {
    if (this._isClosed) this._begin(false, []);
    if (this._sketch.closes(latlng)) this.enter();
    else this._sketch.add(latlng);
    this._tell();
  }

  addAtCross() {
    this.add(this._map.getCenter());
  }

  takeBack() {
    this._begin(false, this._isClosed ? this._sketch.points : this._sketch.points.slice(0, -1));
    this._tell();
  }

  /** Enter closes the ring, once it can have an area. */
  enter() {
    if (this._sketch.points.length > 2) this._begin(true, this._sketch.points);
    this._tell();
  }

  _begin(isClosed, points) {
    this._isClosed = isClosed;
    this._sketch.begin(isClosed, points);
  }

  _aim(latlng) {
    this._sketch.aim(latlng);
    this._tell([latlng]);
  }

  _tell(aim = []) {
    const pairs = [...this._sketch.points, ...aim].map(({ lat, lng }) => [lat, lng]);
    this._handwork.reportMeasured(JSON.stringify(pairs), aim.length > 0, this._isClosed);
  }
}
