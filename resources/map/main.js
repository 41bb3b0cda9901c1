// Puts the page together.  Python decides what there is to draw; this only draws it.

import { connectBridge } from "./bridge.js";
import { Echo } from "./echo.js";
import { Graticule } from "./graticule.js";
import { Ground } from "./ground.js";
import { Handwork } from "./handwork.js";
import { Hold } from "./hold.js";
import { HoverCard } from "./hover_card.js";
import { Key } from "./key.js";
import { Layers } from "./layers.js";
import { NorthMark } from "./north.js";
import { Overlays } from "./overlays.js";
import { Panes } from "./panes.js";
import { addPatterns } from "./patterns.js";
import { Pointer } from "./pointer.js";
import { ScaleBar } from "./scale.js";
import { Snap } from "./snap.js";
import { Tools } from "./tools.js";
import { View } from "./view.js";
import { Words } from "./words.js";

const map = window.fieldtripMap;
map.setMinZoom(2).setMaxZoom(21);
map.getContainer().setAttribute("aria-label", "Map");
addPatterns();
new NorthMark(map);
const graticule = new Graticule(map);

connectBridge((bridge, handwork, ground, overlays) => {
  const words = new Words(map);
  const snap = new Snap(map);
  const hold = new Hold(map, bridge, handwork, snap, new HoverCard(map));
  const panes = new Panes(map);
  const layers = new Layers(map, panes, words, bridge, hold);
  const scale = new ScaleBar(map);
  const view = new View(map, bridge);
  const tools = new Tools(map, bridge, snap);
  const echo = new Echo(map);
  new Pointer(map, bridge);
  new Ground(map, panes, ground);
  new Overlays(map, overlays, new Key(map, () => words.layout()));
  snap.watch(layers);
  new Handwork(map, bridge, handwork, snap, tools);

  bridge.layerShown.connect((name, geojson, number) => layers.show(name, geojson, number));
  bridge.layerHidden.connect((name) => layers.hide(name));
  bridge.layerVisibilitySet.connect((name, isVisible) => layers.setVisible(name, isVisible));
  bridge.darkSet.connect((isDark) => document.documentElement.classList.toggle("dark", isDark));
  bridge.lengthUnitSet.connect((unit) => scale.setUnit(unit));
  bridge.boundsFitted.connect((s, w, n, e) => view.fit(s, w, n, e));
  bridge.lookedAt.connect((lat, lon, zoom) => view.lookAt(lat, lon, zoom));
  bridge.toolStarted.connect((tool, hint) => tools.start(tool, hint));
  bridge.toolCancelled.connect(() => tools.stop());
  bridge.echoShown.connect((lat, lon, text) => echo.show(lat, lon, text));
  bridge.echoHidden.connect(() => echo.hide());

  const laidOut = (told) => () => { layers.layout.flush(); return JSON.stringify(told()); };
  window.fieldtripRays = laidOut(() => layers.rays());
  window.fieldtripWords = laidOut(() => words.shown());
  graticule.draw();
  bridge.reportReady();
});
