// Where typed coordinates would land, before anything is stored.

import { div, drawing } from "./elements.js";

const RING = "M20 8a12 12 0 1 0 .01 0zM20 2v9M20 29v9M2 20h9M29 20h9";

/** A ring with a cross, and words. */
export class Echo {
  constructor(map) {
    this._map = map;
    map.createPane("echo").style.zIndex = 720;
  }

  show(lat, lon, text) {
    this.hide();
    const html = div("echo-mark");
    html.append(drawing(40, ["echo-ring", RING]));
    div("echo-word", text, html);
    const icon = L.divIcon({ html, className: "symbol", iconSize: [40, 40] });
    this._marker = L.marker([lat, lon], { icon, pane: "echo", interactive: false, keyboard: false });
    this._marker.addTo(this._map);
    if (!this._map.getBounds().contains([lat, lon])) this._map.setView([lat, lon], this._map.getZoom(), { animate: false });
  }

  hide() {
    this._marker?.remove();
    this._marker = null;
  }
}
