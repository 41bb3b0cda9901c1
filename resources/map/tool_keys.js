// The keyboard while a tool is in use.

const NUDGES = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const NUDGE_PIXELS = 12;
const FAR_PIXELS = 80;

/** Gives keys to the tool before the map sees them. */
export class ToolKeys {
  constructor(map, tools) {
    this._map = map;
    this._tools = tools;
    document.addEventListener("keydown", (event) => this._press(event), true);
  }

  _press(event) {
    if (!this._tools.isActive) return;
    const action = this._action(event.key, event.shiftKey);
    if (!action) return;
    event.preventDefault();
    event.stopPropagation();
    action();
  }

  _action(key, isShifted) {
    const tools = this._tools;
    if (key in NUDGES) {
      const [x, y] = NUDGES[key].map((step) => step * (isShifted ? FAR_PIXELS : NUDGE_PIXELS));
      return () => this._map.panBy([x, y], { animate: false });
    }
    const actions = {
      Enter: () => tools.enter(),
      " ": () => tools.addAtCross(),
      Escape: () => tools.cancel(),
      Backspace: () => tools.takeBack(),
      "+": () => this._map.zoomIn(1, { animate: false }),
      "=": () => this._map.zoomIn(1, { animate: false }),
      "-": () => this._map.zoomOut(1, { animate: false }),
    };
    return actions[key];
  }
}
