// Work that can wait a moment for what may come and make it needless.

const WAIT_MS = 40;

/** Does a thing soon, once, or now, and then no more. */
export class Later {
  constructor(act) {
    Object.assign(this, { _act: act, _timer: 0 });
  }

  soon() {
    clearTimeout(this._timer);
    this._timer = setTimeout(this._act, WAIT_MS);
  }

  now() {
    clearTimeout(this._timer);
    this._act();
  }
}
