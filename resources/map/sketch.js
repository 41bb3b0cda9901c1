// What is being drawn, before it is finished.

const SAME_PIXELS = 4;
const CLOSE_PIXELS = 10;

/** Points set so far, the line between them and on to the pointer. */
export class Sketch {
  constructor(map) {
    this._map = map;
    if (!map.getPane("sketch")) map.createPane("sketch").style.zIndex = 730;
    this._renderer = L.svg({ pane: "sketch", padding: 0.5 });
    this._group = L.layerGroup().addTo(map);
    this.clear();
  }

  begin(isArea, points = []) {
    this.clear();
    this._isArea = isArea;
    this.points = points;
    this._draw();
  }

  clear() {
    this.points = [];
    this._aim = null;
    this._group.clearLayers();
  }

  /** Adds a point, unless it is the last one again: a double click comes as two. */
  add(latlng) {
    const last = this.points[this.points.length - 1];
    if (last && this._pixels(last, latlng) < SAME_PIXELS) return;
    this.points = [...this.points, latlng];
    this._draw();
  }

  /** Whether a position is the first one again, of enough to go round an area. */
  closes(latlng) {
    return this.points.length > 2 && this._pixels(this.points[0], latlng) < CLOSE_PIXELS;
  }

  takeBack() {
    this.points = this.points.slice(0, -1);
    this._draw();
  }

  aim(latlng) {
    this._aim = latlng;
    if (this.points.length) this._draw();
  }

  _draw() {
    this._group.clearLayers();
    const look = { renderer: this._renderer, pane: "sketch", interactive: false };
    const shape = this._isArea ? L.polygon : L.polyline;
    if (this._aim) shape([...this.points, this._aim], { ...look, className: "sketch-aim" }).addTo(this._group);
    const className = this._isArea ? "sketch sketch-area" : "sketch";
    shape(this.points, { ...look, className }).addTo(this._group);
    for (const point of this.points) {
      L.circleMarker(point, { ...look, radius: 4, className: "sketch-point" }).addTo(this._group);
    }
  }

  _pixels(a, b) {
    return this._map.latLngToContainerPoint(a).distanceTo(this._map.latLngToContainerPoint(b));
  }
}
