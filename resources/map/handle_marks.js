// How the points of a line are drawn while it is worked on.

import { drawing } from "./elements.js";

const SIZE = 14;
const SQUARE = "M2.500 2.500h9v9h-9z";
const MOST = 150;

/** Handles in the view, and a grip along the line between them. */
export class HandleMarks {
  constructor(map, handles) {
    Object.assign(this, { _map: map, _handles: handles, _group: L.layerGroup().addTo(map) });
    map.createPane("handle-line").style.zIndex = 560;
    map.createPane("handles").style.zIndex = 660;
    this._look = { renderer: L.svg({ pane: "handle-line", padding: 0.5 }), pane: "handle-line" };
  }

  draw(shown) {
    this._group.clearLayers();
    if (!shown) return;
    const { line, is_area: isArea, at } = shown;
    const ring = isArea ? [...line, line[0]] : line;
    const grip = L.polyline(ring, { ...this._look, className: "grip handle-grip" }).addTo(this._group);
    grip.on("click contextmenu", L.DomEvent.stopPropagation);
    grip.on("click", ({ latlng }) => this._handles.add(...this._between(ring, latlng)));
    grip.on("contextmenu", (event) => this._handles.ask(-1, event));
    const bounds = this._map.getBounds().pad(0.1);
    const seen = line.map((_, i) => i).filter((i) => i === at || bounds.contains(line[i]));
    for (const i of seen.length > MOST ? seen.filter((index) => index === at) : seen) this._mark(shown, i);
  }

  _mark({ line, is_area: isArea, at }, i) {
    const className = `symbol handle${i === at ? " at-work" : ""}`;
    const icon = L.divIcon({ html: drawing(SIZE, ["handle-square", SQUARE]), className, iconSize: [SIZE, SIZE] });
    const options = { icon, pane: "handles", draggable: true, keyboard: false, zIndexOffset: i === at ? 1000 : 0 };
    const marker = L.marker(line[i], options).addTo(this._group);
    const last = line.length - 1;
    const beside = [line[i - 1] ?? (isArea ? line[last] : null), line[i + 1] ?? (isArea ? line[0] : null)];
    const aim = L.polyline([], { ...this._look, className: "sketch-aim", interactive: false }).addTo(this._group);
    marker.on("click contextmenu", L.DomEvent.stopPropagation);
    marker.on("mousedown", () => this._handles.hold());
    marker.on("click", () => this._handles.choose(i));
    marker.on("contextmenu", (event) => this._handles.ask(i, event));
    marker.on("drag", () => {
      const place = this._handles.drag(marker.getLatLng());
      aim.setLatLngs([beside[0], place, beside[1]].filter(Boolean));
    });
    marker.on("dragend", () => this._handles.drop(i, marker.getLatLng()));
  }

  /** The point before, and the place on the line, nearest to a position. */
  _between(ring, latlng) {
    const [at, ...track] = [latlng, ...ring].map((place) => this._map.latLngToLayerPoint(place));
    const feet = track.slice(1).map((end, i) => L.LineUtil.closestPointOnSegment(at, track[i], end));
    const reach = feet.map((foot) => foot.distanceTo(at));
    const after = reach.indexOf(Math.min(...reach));
    return [after, this._map.layerPointToLatLng(feet[after])];
  }
}
