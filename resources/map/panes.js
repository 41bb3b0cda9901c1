// Two panes to a layer, stacked from the ground up: its shapes, and above all shapes its symbols.

const ORDER = ["outline", "contours", "rings", "around", "places", "routes", "hazards", "drops", "closures", "sun", "moon", "plan", "minute", "look", "measure"];
const LOWEST = 420;
const LOWEST_SYMBOLS = 520;
const FAR_BELOW_ZOOM = 13;
const GROUND = "ground-";

/** Makes panes as layers need them. */
export class Panes {
  constructor(map) {
    this._map = map;
    this._renderers = new Map();
    ORDER.forEach((name) => this.renderer(name));
    map.on("zoomend", () => map.getContainer().classList.toggle("far", map.getZoom() < FAR_BELOW_ZOOM));
  }

  /** @returns {L.SVG} into which a layer draws */
  renderer(name) {
    if (!this._renderers.has(name)) {
      const place = ORDER.includes(name) ? ORDER.indexOf(name) : ORDER.length;
      this._map.createPane(name);
      // Those of the ground are ordered among themselves, below all others.
      if (!name.startsWith(GROUND)) this._map.getPane(name).style.zIndex = LOWEST + 10 * place;
      this._map.createPane(symbolPane(name)).style.zIndex = LOWEST_SYMBOLS + 10 * place;
      this._renderers.set(name, L.svg({ pane: name, padding: 0.5 }));
    }
    return this._renderers.get(name);
  }

  setVisible(name, isVisible) {
    this.renderer(name);
    for (const pane of [name, symbolPane(name)]) {
      this._map.getPane(pane).classList.toggle("unseen", !isVisible);
    }
  }
}

/** The name of the pane, and of the layer, of a sheet of map material. */
export function groundPane(id) {
  return `${GROUND}${id}`;
}

/** The name of the pane in which a layer's symbols stand. */
export function symbolPane(name) {
  return `${name}-symbols`;
}
