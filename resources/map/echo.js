// Where typed coordinates would land, before anything is stored.

import { div, drawing } from "./elements.js";

const RING = "M20 8a12 12 0 1 0 .01 0zM20 2v9M20 29v9M2 20h9M29 20h9";

/** A ring with a cross, and words; a view that it moved is put back once it goes. */
export class Echo {
  constructor(map) {
    this._map = map;
    map.createPane("echo").style.zIndex = 720;
  }

  show(lat, lon, text) {
    this._erase();
    const html = div("echo-mark");
    html.append(drawing(40, ["echo-ring", RING]));
    div("echo-word", text, html);
    const icon = L.divIcon({ html, className: "symbol", iconSize: [40, 40] });
    this._marker = L.marker([lat, lon], { icon, pane: "echo", interactive: false, keyboard: false });
    this._marker.addTo(this._map);
    if (this._map.getBounds().contains([lat, lon])) return;
    this._before ??= this._map.getCenter();
    this._look([lat, lon]);
  }

  hide() {
    this._erase();
    if (this._before) this._look(this._before);
    this._before = null;
  }

  _look(at) {
    this._map.setView(at, this._map.getZoom(), { animate: false });
  }

  _erase() {
    this._marker?.remove();
    this._marker = null;
  }
}
