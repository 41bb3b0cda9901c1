// Whose map material it is; always in view while it is shown.

import { div } from "./elements.js";

/** A line at the foot of the map, of plain words; those with an address can be used. */
export class Credits {
  constructor(map, open) {
    this._map = map;
    this._open = open;
    this._box = div("credits furniture unseen", "", map.getContainer());
    L.DomEvent.disableClickPropagation(this._box);
    map.on("resize", () => this._makeRoom());
  }

  /** @param {{text: string, link: string}[][]} credits for each sheet its words */
  show(credits) {
    this._box.replaceChildren();
    credits.forEach((pieces, i) => {
      const one = div("credit", i ? " · " : "", this._box);
      for (const { text, link } of pieces) one.append(link ? this._button(text, link) : text);
    });
    this._box.classList.toggle("unseen", !credits.length);
    this._makeRoom();
  }

  _button(text, link) {
    const made = document.createElement("button");
    made.className = "credit-link";
    made.textContent = text;
    made.title = link;
    made.addEventListener("click", () => this._open(link));
    return made;
  }

  /** What else stands at the foot moves up. */
  _makeRoom() {
    const height = this._box.matches(".unseen") ? 0 : this._box.offsetHeight;
    this._map.getContainer().style.setProperty("--credits-height", `${height}px`);
  }
}
