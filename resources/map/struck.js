// Ways that are shut at the minute: crossed out from end to end.

import { latlngs, Track } from "./geometry.js";

const CROSS_EVERY = 22;
const ARM = 5;

/** Draws crosses along a line, and its words. */
export class Struck {
  draw(feature, sheet) {
    const { label = "" } = feature.properties;
    const line = latlngs(feature.geometry);
    const crosses = sheet.line([], "struck");
    sheet.eachView(() => {
      const corner = sheet.map.getPixelBounds().min;
      const size = sheet.map.getSize();
      const bounds = L.bounds([0, 0], [size.x, size.y]);
      const place = (x, y) => sheet.map.unproject(L.point(x, y).add(corner));
      const track = Track.of(sheet.map, line);
      const middles = track.samples(CROSS_EVERY, bounds);
      if (!middles.length && track.length > 0) middles.push(track.at(track.length / 2));
      crosses.setLatLngs(
        middles.flatMap(({ x, y }) => [
          [place(x - ARM, y - ARM), place(x + ARM, y + ARM)],
          [place(x - ARM, y + ARM), place(x + ARM, y - ARM)],
        ]),
      );
    });
    if (label) sheet.say({ along: line, gap: 9, lines: [["struck-word", label]], order: 9 });
  }
}
