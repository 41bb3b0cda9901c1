// What helps while a tool is in use: how it works, and a cross in the middle.

import { div, drawing } from "./elements.js";

const CROSS = "M14 1v10M14 17v10M1 14h10M17 14h10";

/** Words over the map, and the cross at which the keyboard sets points. */
export class Guide {
  constructor(map) {
    this._map = map;
    this._hint = div("hint furniture unseen", "", map.getContainer());
    this._cross = div("cross unseen", "", map.getContainer());
    this._cross.append(drawing(28, ["stroke", CROSS]));
  }

  show(text) {
    this._hint.textContent = text;
    this._toggle(true);
    this._map.getContainer().focus({ preventScroll: true });
  }

  hide() {
    this._toggle(false);
  }

  _toggle(isShown) {
    this._map.getContainer().classList.toggle("tool-active", isShown);
    this._hint.classList.toggle("unseen", !isShown);
    this._cross.classList.toggle("unseen", !isShown);
    this._map.doubleClickZoom[isShown ? "disable" : "enable"]();
  }
}
