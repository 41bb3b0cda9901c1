// Puts together what is done by hand to what is there already: points of lines, measuring.

import { HandleKeys } from "./handle_keys.js";
import { Handles } from "./handles.js";
import { Measure } from "./measure.js";
import { Readout } from "./readout.js";

/** Obeys fieldtrip/desktop/map/handwork.py, and reports to it. */
export class Handwork {
  constructor(map, bridge, handwork, snap, tools) {
    const handles = new Handles(map, bridge, handwork, snap);
    const measure = new Measure(map, handwork, snap);
    const readout = new Readout(map);
    new HandleKeys(handles, handwork, () => tools.isActive || measure.isActive);

    handwork.handlesShown.connect((text) => handles.show(JSON.parse(text)));
    handwork.handlesHidden.connect(() => handles.hide());
    handwork.measureStarted.connect((hint) => measure.start(hint));
    handwork.measureStopped.connect(() => measure.stop());
    handwork.readoutShown.connect((text) => readout.show(text));
  }
}
