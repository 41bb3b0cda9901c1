// Connects the page to fieldtrip/desktop/map/bridge.py, which describes both ways.

/** Calls `start(bridge, handwork, ground, overlays)` once Python's objects are there. */
export function connectBridge(start) {
  new QWebChannel(qt.webChannelTransport, ({ objects }) => {
    const { bridge, handwork, ground, overlays } = objects;
    start(bridge, handwork, ground, overlays);
  });
}

/**
 * Calls `done(isPainted)` once what was drawn is on the screen, or soon where it
 * cannot be: a hidden page gets no frames.
 */
export function afterPaint(done) {
  let isDone = false;
  const finish = (isPainted) => {
    if (isDone) return;
    isDone = true;
    done(isPainted);
  };
  requestAnimationFrame(() => setTimeout(() => finish(true), 0));
  setTimeout(() => finish(false), 400);
}
