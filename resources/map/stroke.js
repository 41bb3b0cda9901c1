// How the ink of a ray is laid: whole, dashed, dotted or tapering; never in a hue.

const BROAD = 3.4;
const FINE = 0.5;
const DOT_WIDTHS = [4.6, 3.6, 2.7, 1.9];

/** The shapes of one ray on a sheet. */
export class Stroke {
  constructor(sheet, { stroke, is_faint: isFaint }) {
    const className = `ray ray-${stroke}${isFaint ? " faint" : ""}`;
    this._kind = stroke;
    if (stroke === "taper") this._shapes = [sheet.area([], className)];
    else if (stroke === "taper-dots") this._shapes = DOT_WIDTHS.map((_, i) => sheet.line([], `${className} dots-${i}`));
    else this._shapes = [sheet.line([], className)];
  }

  /** Draws from one end to the other; `place` turns pixels into positions. */
  draw([start, stop], place) {
    const between = (part) => place({ x: start.x + (stop.x - start.x) * part, y: start.y + (stop.y - start.y) * part });
    if (this._kind === "taper") {
      const side = ({ x, y }, half) => place({ x: x - stop.dy * half, y: y + stop.dx * half });
      this._shapes[0].setLatLngs([side(start, BROAD), side(stop, FINE), side(stop, -FINE), side(start, -BROAD)]);
      return;
    }
    const count = this._shapes.length;
    this._shapes.forEach((shape, i) => shape.setLatLngs([between(i / count), between((i + 1) / count)]));
  }
}
