// A QR code as an SVG element: black on white whatever the look, with the quiet zone of four modules that ISO/IEC 18004
// asks for. No state; emits nothing.

import { matrixOf } from "./matrix.js";

const SVG = "http://www.w3.org/2000/svg";
const QUIET = 4;

/** The picture of a text; `words` name it for a screen reader. Throws a RangeError when the text is too long. */
export function picture(text, words) {
  const matrix = matrixOf(text);
  const size = matrix.length + 2 * QUIET;
  const drawing = element("svg", { viewBox: `0 0 ${size} ${size}`, role: "img", "aria-label": words, "shape-rendering": "crispEdges" });
  const squares = matrix.flatMap((row, down) => row.flatMap((dark, right) => (dark ? [`M${right + QUIET} ${down + QUIET}h1v1h-1z`] : [])));
  drawing.append(element("rect", { width: size, height: size, fill: "#ffffff" }), element("path", { d: squares.join(""), fill: "#000000" }));
  return drawing;
}

function element(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  return made;
}
