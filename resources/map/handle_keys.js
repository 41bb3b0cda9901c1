// The keyboard while a line's points are shown: N and P walk, arrows nudge.

const NUDGES = { ArrowUp: [0, 1], ArrowRight: [1, 0], ArrowDown: [0, -1], ArrowLeft: [-1, 0] };

/** Gives keys to the point at work before the map sees them. */
export class HandleKeys {
  /** @param {() => boolean} isBusy whether something else has the keyboard */
  constructor(handles, handwork, isBusy) {
    Object.assign(this, { _handles: handles, _handwork: handwork });
    document.addEventListener("keydown", (event) => {
      const { key, shiftKey, ctrlKey, metaKey, altKey } = event;
      if (!handles.shown || isBusy() || ctrlKey || metaKey || altKey) return;
      const action = this._action(key, shiftKey);
      if (!action) return;
      event.preventDefault();
      event.stopPropagation();
      action();
    }, true);
  }

  _action(key, isShifted) {
    const [handwork, { at }] = [this._handwork, this._handles.shown];
    const walk = { n: 1, p: -1 }[key.toLowerCase()];
    if (walk) return () => handwork.reportHandleWalked(walk);
    if (at < 0) return null;
    if (key in NUDGES) return () => handwork.reportHandleNudged(...NUDGES[key], isShifted);
    const actions = {
      Insert: () => handwork.reportHandleInserted(),
      Delete: () => handwork.reportHandleRemoved(at),
      Backspace: () => handwork.reportHandleRemoved(at),
      Escape: () => handwork.reportHandleChosen(-1),
    };
    return actions[key];
  }
}
