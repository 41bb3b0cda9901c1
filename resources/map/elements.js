// Makes elements by calls alone: no text of anybody's is ever read as markup.

const SVG = "http://www.w3.org/2000/svg";

/** A div of a class; `text` is shown as it is. */
export function div(className, text = "", parent = null) {
  const made = document.createElement("div");
  made.className = className;
  made.textContent = text;
  parent?.append(made);
  return made;
}

/** An SVG element with attributes and children. */
export function svg(tag, attributes = {}, ...children) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children);
  return made;
}

/** An SVG picture of `size` by `size` pixels, made of paths: [class, outline] each. */
export function drawing(size, ...paths) {
  const shapes = paths.map(([name, d]) => svg("path", { class: name, d }));
  const box = `0 0 ${size} ${size}`;
  return svg("svg", { viewBox: box, width: size, height: size }, ...shapes);
}
