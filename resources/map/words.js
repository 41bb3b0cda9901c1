// Words on the map, laid out so that none covers another or a symbol.

import { div } from "./elements.js";

const EDGE = 6;

/** Holds every layer's words; the more important are placed first, the rest give way. */
export class Words {
  constructor(map) {
    this._map = map;
    this._pane = map.createPane("words");
    this._labels = [];
    this._hidden = new Set();
  }

  /**
   * Adds words: `lines` of [class, text]; `order`, low first; either `at` with a
   * `guard` round it and a `gap`, or `spots(width, height)`; `isKept` never gives way.
   */
  add(layer, label) {
    const box = div("words", "", this._pane);
    for (const [className, text] of label.lines) if (text) div(className, text, box);
    const { offsetWidth: width, offsetHeight: height } = box;
    this._labels.push({ layer, box, width, height, ...label });
    this._labels.sort((a, b) => a.order - b.order);
  }

  clear(layer) {
    this._labels.filter((label) => label.layer === layer).forEach((label) => label.box.remove());
    this._labels = this._labels.filter((label) => label.layer !== layer);
  }

  setVisible(layer, isVisible) {
    this._hidden[isVisible ? "delete" : "add"](layer);
  }

  /** The texts that can now be read. */
  shown() {
    return this._labels.filter(({ box }) => !box.classList.contains("unseen")).map(({ box }) => box.innerText);
  }

  layout() {
    const size = this._map.getSize();
    const seen = this._labels.filter(({ layer }) => !this._hidden.has(layer));
    const taken = [...this._furniture(), ...seen.filter(({ guard }) => guard).map((label) => this._guarded(label))];
    for (const label of this._labels) label.box.classList.add("unseen");
    for (const label of seen) this._place(label, taken, size);
  }

  _place(label, taken, size) {
    const boxes = this._spots(label).map((spot) => ({ ...spot, right: spot.x + label.width, bottom: spot.y + label.height }));
    const inside = boxes.filter((b) => b.x >= EDGE && b.y >= EDGE && b.right <= size.x - EDGE && b.bottom <= size.y - EDGE);
    const free = inside.find((box) => !taken.some((other) => meet(box, other)));
    const chosen = free ?? (label.isKept ? inside[0] : undefined);
    if (!chosen) {
      if (label.spots) boxes[0]?.use();
      return;
    }
    chosen.use?.();
    taken.push(chosen);
    label.box.classList.remove("unseen");
    const corner = this._map.containerPointToLayerPoint([Math.round(chosen.x), Math.round(chosen.y)]);
    L.DomUtil.setPosition(label.box, corner);
  }

  _spots({ at, spots, guard = 0, gap = 3, width, height, isCentred }) {
    if (spots) return spots(width, height);
    const { x, y } = this._map.latLngToContainerPoint(at);
    const [dx, dy] = [guard + gap, guard + gap];
    if (isCentred) return [{ x: x - width / 2, y: y - height / 2 }];
    return [
      { x: x + dx, y: y - height / 2 }, { x: x - dx - width, y: y - height / 2 },
      { x: x - width / 2, y: y + dy }, { x: x - width / 2, y: y - dy - height },
      { x: x + dx * 0.7, y: y + dy * 0.7 }, { x: x + dx * 0.7, y: y - dy * 0.7 - height },
      { x: x - dx * 0.7 - width, y: y + dy * 0.7 }, { x: x - dx * 0.7 - width, y: y - dy * 0.7 - height },
    ];
  }

  _guarded(label) {
    const { x, y } = this._map.latLngToContainerPoint(label.at);
    return { x: x - label.guard, y: y - label.guard, right: x + label.guard, bottom: y + label.guard };
  }

  _furniture() {
    return [...document.querySelectorAll(".furniture, .leaflet-control-zoom")].map((element) => {
      const { left, top, right, bottom } = element.getBoundingClientRect();
      return { x: left, y: top, right, bottom };
    });
  }
}

function meet(a, b) {
  return a.x < b.right && b.x < a.right && a.y < b.bottom && b.y < a.bottom;
}
