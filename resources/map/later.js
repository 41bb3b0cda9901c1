// Work that can wait a moment for what may come and make it needless.

const WAIT_MS = 40;

/** Does a thing soon, before the next frame, or now: once, and then no more. */
export class Later {
  constructor(act) {
    Object.assign(this, { _act: act, _timer: 0, _frame: 0 });
  }

  soon() {
    clearTimeout(this._timer);
    this._timer = setTimeout(() => this.now(), WAIT_MS);
  }

  /** Once for all that comes before the page is painted; soon where it is not. */
  beforePaint() {
    if (this._frame) return;
    this._frame = requestAnimationFrame(() => this.now());
    this._timer = setTimeout(() => this.now(), WAIT_MS);
  }

  /** What waits for the next frame is done at once. */
  flush() {
    if (this._frame) this.now();
  }

  now() {
    clearTimeout(this._timer);
    cancelAnimationFrame(this._frame);
    this._frame = 0;
    this._act();
  }
}
