// Map pictures in tiles.

const ADDRESS = "fieldtrip://map/tiles";

/**
 * Asks only for what is seen, once the map has come to rest.  Leaflet's own layer of
 * tiles is no use here: it ends a load with a picture that the page's policy forbids.
 */
export class Pictures extends L.GridLayer {
  constructor(sheet, turn, options) {
    super({ updateWhenIdle: true, updateWhenZooming: false, keepBuffer: 1, ...options });
    this._address = `${ADDRESS}/${sheet}/${turn}`;
    this.on("tileunload", ({ tile }) => tile.removeAttribute("src"));
  }

  createTile({ x, y, z }, done) {
    const tile = document.createElement("img");
    tile.alt = "";
    tile.addEventListener("load", () => done(null, tile));
    tile.addEventListener("error", () => tile.hasAttribute("src") && done(new Error("no tile"), tile));
    tile.src = `${this._address}/${z}/${x}/${y}`;
    return tile;
  }
}
