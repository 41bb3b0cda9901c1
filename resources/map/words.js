// Words on the map, laid out so that none covers another or a symbol.

import { div } from "./elements.js";
import { Track } from "./geometry.js";
import { Leaders } from "./leaders.js";
import { Room } from "./room.js";
import { spotsAlong, spotsBeside } from "./spots.js";

/** Holds every layer's words; the more important are placed first, the rest give way. */
export class Words {
  constructor(map) {
    this._map = map;
    this._pane = map.createPane("words");
    this._labels = [];
    this._hidden = new Set();
    this._leaders = new Leaders(map);
  }

  /**
   * Adds `lines` of [class, text] by `order`, low first; `isKept` never gives way.
   * They stand round `at`, a `guard` of pixels off, or `along` a line, or on `spots`.
   */
  add(layer, label) {
    const box = div("words", "", this._pane);
    for (const [className, text] of label.lines) if (text) div(className, text, box);
    this._labels.push({ layer, box, ...label });
    this._labels.sort((a, b) => a.order - b.order);
  }

  clear(layer) {
    this._labels.filter((label) => label.layer === layer).forEach(({ box }) => box.remove());
    this._labels = this._labels.filter((label) => label.layer !== layer);
  }

  setVisible(layer, isVisible) {
    this._hidden[isVisible ? "delete" : "add"](layer);
  }

  /** The texts that can now be read. */
  shown() {
    return this._labels.map(({ box }) => box).filter((box) => !box.matches(".unseen")).map((box) => box.innerText);
  }

  layout() { // measures all at once: each alone would lay out the whole page
    for (const label of this._labels) [label.width, label.height] = [label.width ?? label.box.offsetWidth, label.height ?? label.box.offsetHeight];
    const room = new Room(this._map);
    this._leaders.clear();
    const seen = this._labels.filter(({ layer }) => !this._hidden.has(layer));
    for (const { at, guard } of seen) if (guard) room.guard(at, guard);
    for (const { along } of seen) if (along) room.addInk(Track.of(this._map, along));
    for (const { box } of this._labels) box.classList.add("unseen");
    for (const label of seen) this._place(label, room);
  }

  _place(label, room) {
    const find = label.spots ?? (label.along ? spotsAlong : spotsBeside);
    const spot = room.best(find(label, this._map), label);
    if (!spot) return;
    spot.use?.(room);
    if (!room.holds(spot)) return;
    room.block(spot);
    if (spot.leader) this._leaders.draw(spot.leader, spot);
    label.box.classList.remove("unseen");
    const corner = [Math.round(spot.x), Math.round(spot.y)];
    L.DomUtil.setPosition(label.box, this._map.containerPointToLayerPoint(corner));
  }
}
