// What lies below our own layers: map pictures in tiles, and panes for shapes.

import { Credits } from "./credits.js";
import { groundPane } from "./panes.js";
import { Pictures } from "./pictures.js";

const LOWEST = 210;
const ENLARGED_ZOOMS = 4; // beyond, one tile would be larger than can be drawn

/** Obeys fieldtrip/desktop/map/ground.py, and reports to it. */
export class Ground {
  constructor(map, panes, ground) {
    Object.assign(this, { _map: map, _panes: panes, _ground: ground, _tiles: new Map() });
    this._credits = new Credits(map, (address) => ground.reportLinkAsked(address));
    ground.sheetsShown.connect((text) => this.show(JSON.parse(text)));
    map.on("moveend resize", () => this._report());
    // The first view comes with the first layers; where there are none, this is it.
    setTimeout(() => this._report(), 300);
  }

  /** @param {{sheets: object[], credits: object[][], has_shore: boolean}} told the lowest sheet first */
  show({ sheets, credits, has_shore: hasShore }) {
    const stays = new Set(sheets.map(({ id }) => id));
    for (const id of [...this._tiles.keys()]) if (!stays.has(id)) this._drop(id);
    sheets.forEach((sheet, i) => this._lay(sheet, LOWEST + i));
    this._credits.show(credits);
    this._map.getContainer().classList.toggle("has-shore", hasShore);
  }

  _lay(sheet, order) {
    const name = groundPane(sheet.id);
    this._panes.renderer(name);
    const { style, classList } = this._map.getPane(name);
    style.zIndex = order;
    style.opacity = sheet.opacity;
    classList.toggle("map-pictures", sheet.is_tiles);
    if (sheet.is_tiles) this._layTiles(sheet, name);
  }

  _layTiles({ id, turn, min_zoom: minZoom, max_zoom: maxNativeZoom, bounds }, pane) {
    const key = JSON.stringify([turn, minZoom, maxNativeZoom, bounds]);
    if (this._tiles.get(id)?.key === key) return;
    this._drop(id);
    const range = { minZoom, maxNativeZoom, maxZoom: maxNativeZoom + ENLARGED_ZOOMS, bounds: bounds ?? undefined };
    const layer = new Pictures(id, turn, { pane, ...range });
    this._tiles.set(id, { key, layer: layer.addTo(this._map) });
  }

  _drop(id) {
    this._tiles.get(id)?.layer.remove();
    this._tiles.delete(id);
  }

  _report() {
    const { x, y } = this._map.getSize();
    if (!x || !y) return;
    const bounds = this._map.getBounds();
    const [south, north] = [Math.max(-90, bounds.getSouth()), Math.min(90, bounds.getNorth())];
    this._ground.reportViewed(south, bounds.getWest(), north, bounds.getEast(), this._map.getZoom());
  }
}
