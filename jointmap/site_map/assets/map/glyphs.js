// The glyph on a canvas and as SVG, from the shapes the page was given.

const GLYPH = settings.glyph;
const INK = GLYPH.ink;

function shapesOf(verdict, state, suspect) {
  return [...GLYPH.ticks[state], ...GLYPH.bars, ...GLYPH.gaps[verdict],
    ...(suspect ? GLYPH.arch : [])];
}

function colourOf(role, verdict) {
  return role === "tint" ? GLYPH.tints[verdict] : GLYPH[role];
}

function drawBox(pen, [left, top, right, bottom], size, margin) {
  const [a, b, c, d] = [left, top, right, bottom].map((v) => Math.round(v * size));
  pen.fillRect(margin + a, margin + b, Math.max(c - a, 1), Math.max(d - b, 1));
}

function drawStroke(pen, [width, ...points], size, margin) {
  pen.lineWidth = Math.max(width * size, 0.8);
  pen.beginPath();
  for (let k = 0; k < points.length; k += 2) {
    pen.lineTo(margin + points[k] * size, margin + points[k + 1] * size);
  }
  pen.stroke();
}

function blank(side) {
  const canvas = document.createElement("canvas");
  canvas.width = side;
  canvas.height = side;
  return canvas;
}

// `size` is in pixels of the screen; a margin of 2 leaves room for the white edge.
function drawGlyph(verdict, state, suspect, size) {
  const margin = Math.ceil(size * 0.1) + 1;
  const canvas = blank(size + 2 * margin);
  const pen = canvas.getContext("2d");
  for (const [kind, role, ...numbers] of shapesOf(verdict, state, suspect)) {
    pen.fillStyle = colourOf(role, verdict);
    pen.strokeStyle = pen.fillStyle;
    (kind === "box" ? drawBox : drawStroke)(pen, numbers, size, margin);
  }
  return canvas;
}

function drawCell(verdict, unit) {
  const canvas = blank(4 * unit);
  const pen = canvas.getContext("2d");
  for (const [role, left, top, right, bottom] of GLYPH.cells[verdict]) {
    pen.fillStyle = colourOf(role, verdict);
    pen.fillRect(left * unit, top * unit, (right - left) * unit, (bottom - top) * unit);
  }
  return canvas;
}

const sprites = new Map();

function sprite(verdict, state, suspect, size) {
  const key = [verdict, state, suspect, size].join();
  if (!sprites.has(key)) {
    sprites.set(key, size > 0 ? drawGlyph(verdict, state, suspect, size)
      : drawCell(verdict, -size));
  }
  return sprites.get(key);
}

function svgElement(name, attributes) {
  const found = document.createElementNS("http://www.w3.org/2000/svg", name);
  Object.entries(attributes).forEach(([key, value]) => found.setAttribute(key, value));
  return found;
}

function svgGlyph(verdict, state, suspect, size) {
  const svg = svgElement("svg", { width: size, height: size, "aria-hidden": "true",
    viewBox: `0 0 ${size} ${size}`, class: "glyph" });
  for (const [kind, role, ...numbers] of shapesOf(verdict, state, suspect)) {
    const colour = colourOf(role, verdict);
    if (kind === "box") {
      const [a, b, c, d] = numbers.map((v) => Math.round(v * size));
      svg.append(svgElement("rect", { x: a, y: b, width: Math.max(c - a, 1),
        height: Math.max(d - b, 1), fill: colour }));
    } else {
      const [width, ...points] = numbers.map((v) => v * size);
      svg.append(svgElement("polyline", { points: points.join(" "), fill: "none",
        stroke: colour, "stroke-width": width }));
    }
  }
  return svg;
}
