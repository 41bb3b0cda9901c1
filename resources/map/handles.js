// The points of the chosen line, as handles that can be dragged.

import { HandleMarks } from "./handle_marks.js";

const SETTLED_MS = 400;

/** Shows the line that Python names, and reports what is done to its points. */
export class Handles {
  constructor(map, bridge, handwork, snap) {
    Object.assign(this, { _map: map, _bridge: bridge, _handwork: handwork, _snap: snap, shown: null, _since: 0, _isHeld: false });
    this._marks = new HandleMarks(map, this);
    map.on("moveend", () => this._draw());
  }

  /** @param {{id: string, line: number[][], is_area: boolean, at: number}} shown */
  show(shown) {
    if (shown.id !== this.shown?.id) this._since = Date.now();
    const turn = 360 * Math.round((this._map.getCenter().lng - shown.line[0][1]) / 360); // as drawn
    this.shown = { ...shown, line: shown.line.map(([lat, lng]) => L.latLng(lat, lng + turn)) };
    this._draw();
    if (shown.is_walked && !this._map.getBounds().contains(this.shown.line[shown.at])) {
      this._map.panTo(this.shown.line[shown.at], { animate: false });
    }
  }

  hide() {
    [this.shown, this._isHeld] = [null, false];
    this._draw();
  }

  /** From the press of the button on: nothing is drawn anew under the hand. */
  hold() {
    this._isHeld = true;
  }

  choose(index) {
    this._isHeld = false;
    this._handwork.reportHandleChosen(index);
  }

  /** While a point is dragged: where it would land. */
  drag(latlng) {
    return this._snap.take(latlng, this.shown?.id);
  }

  drop(index, latlng) {
    const { lat, lng } = this.drag(latlng);
    this._isHeld = false;
    this._snap.release();
    this._handwork.reportHandleMoved(index, lat, lng);
  }

  /** A click on the line itself sets a point there, but not the click that chose the line. */
  add(after, { lat, lng }) {
    if (Date.now() - this._since > SETTLED_MS) this._handwork.reportHandleAdded(after, lat, lng);
  }

  /** @param {number} index the point, or -1 for the line  */
  ask(index, { latlng: { lat, lng }, containerPoint: { x, y } }) {
    this.choose(index);
    this._bridge.reportContextAsked(lat, lng, this.shown.id, Math.round(x), Math.round(y));
  }

  _draw() {
    if (!this._isHeld) this._marks.draw(this.shown);
  }
}
