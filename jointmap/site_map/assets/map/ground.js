// The ground sheet, under the joints: lines, kilometre posts, sources, names of areas.

const SMALL = "12px system-ui, sans-serif";
const SLANT = "italic 13px system-ui, sans-serif";
const TICK_STEPS = [1, 2, 5, 10, 20, 50, 100, 200, 500];
const TICK_ROOM = 46;

const onView = (view, lon, lat) => [worldX(lon) * view.scale - view.left,
  worldY(lat) * view.scale - view.top];
const inView = (view, [x, y]) => x >= 0 && y >= 0 && x <= view.width && y <= view.height;

function strokePath(pen, points, width, colour) {
  pen.lineWidth = width;
  pen.strokeStyle = colour;
  pen.lineJoin = "round";
  pen.beginPath();
  points.forEach(([x, y]) => pen.lineTo(x, y));
  pen.stroke();
}

// The smallest step whose posts stand far enough apart on the screen.
function tickStep(ticks, places) {
  if (ticks.length < 2) return 1;
  const last = ticks.length - 1;
  let length = 0;
  for (let k = 1; k <= last; k += 1) {
    length += Math.hypot(places[k][0] - places[k - 1][0], places[k][1] - places[k - 1][1]);
  }
  const each = length / Math.max(Math.abs(ticks[last][0] - ticks[0][0]), 1e-6);
  return TICK_STEPS.find((s) => s * each >= TICK_ROOM) || TICK_STEPS[TICK_STEPS.length - 1];
}

function paintTicks(pen, view, line, room) {
  const places = line.ticks.map((t) => onView(view, t[1], t[2]));
  const step = tickStep(line.ticks, places);
  line.ticks.forEach(([kilometre, , , bearing], k) => {
    const whole = Math.abs(kilometre / step - Math.round(kilometre / step)) < 1e-6;
    if (!whole || !inView(view, places[k])) return;
    const across = (bearing + 90) * Math.PI / 180;
    let [dx, dy] = [Math.sin(across), -Math.cos(across)];
    if (dy < -0.2) [dx, dy] = [-dx, -dy];
    const [x, y] = places[k];
    strokePath(pen, [[x - dx * 6, y - dy * 6], [x + dx * 6, y + dy * 6]], 1.5,
      settings.colours.line);
    const [textX, textY] = [x + dx * 26, y + dy * 24];
    if (room(textX - 18, textY - 7, 36, 14)) {
      label(pen, "KP " + kilometre, textX, textY,
        { font: SMALL, colour: settings.colours.quiet, align: "center" });
    }
  });
}

function paintLine(pen, view, line, room) {
  const points = line.at.map(([lon, lat]) => onView(view, lon, lat));
  strokePath(pen, points, 2.5, settings.colours.line);
  paintTicks(pen, view, line, room);
}

function paintLineName(pen, view, line, room) {
  const seen = line.at.map(([lon, lat]) => onView(view, lon, lat))
    .filter((p) => inView(view, p));
  if (!seen.length) return;
  const [x, y] = seen[Math.floor(seen.length / 2)];
  pen.font = SLANT;
  const width = pen.measureText(line.name).width;
  if (room(x - width / 2, y + 34, width, 16)) {
    label(pen, line.name, x, y + 42,
      { font: SLANT, align: "center", colour: settings.colours.line });
  }
}

function paintPoint(pen, view, [name, , lon, lat], room) {
  const place = onView(view, lon, lat);
  if (!inView(view, place)) return;
  const [x, y] = place;
  pen.fillStyle = GLYPH.paper;
  pen.strokeStyle = settings.colours.line;
  pen.lineWidth = 1.5;
  pen.fillRect(x - 3.5, y - 3.5, 7, 7);
  pen.strokeRect(x - 3.5, y - 3.5, 7, 7);
  pen.font = SMALL;
  const width = pen.measureText(name).width;
  if (room(x + 8, y - 7, width, 14)) {
    label(pen, name, x + 8, y, { font: SMALL, colour: settings.colours.quiet });
  }
}

// Where each area's joints lie, once; only trusted positions count.
function areaBoxes(joints) {
  const boxes = settings.areas.map(() => [Infinity, Infinity, -Infinity, -Infinity]);
  for (let i = 0; i < joints.n; i += 1) {
    const box = boxes[joints.area[i]];
    if (box && joints.here(i) && !(joints.flags[i] & DOUBT)) {
      box[0] = Math.min(box[0], joints.x[i]);
      box[1] = Math.min(box[1], joints.y[i]);
      box[2] = Math.max(box[2], joints.x[i]);
      box[3] = Math.max(box[3], joints.y[i]);
    }
  }
  return boxes;
}

function paintAreaNames(pen, view, boxes, room) {
  boxes.forEach(([left, top, right], k) => {
    const x = (left + right) / 2 * view.scale - view.left;
    const y = top * view.scale - view.top - 26;
    const wide = (right - left) * view.scale;
    if (!(wide < view.width / 3) || !inView(view, [x, y])) return;
    pen.font = SLANT;
    const width = pen.measureText(settings.areas[k]).width;
    const place = [0, -18, -36].find((d) => room(x - width / 2, y + d - 8, width, 16));
    if (place !== undefined) {
      label(pen, settings.areas[k], x, y + place,
        { font: SLANT, align: "center", colour: settings.colours.accent });
    }
  });
}

function makeGround(joints, look) {
  const boxes = areaBoxes(joints);
  return (pen, view) => {
    const room = makeRoom();
    settings.lines.forEach((line) => paintLine(pen, view, line, room));
    paintAreaNames(pen, view, boxes, room);
    settings.lines.forEach((line) => paintLineName(pen, view, line, room));
    settings.points.forEach((point) => paintPoint(pen, view, point, room));
    look.taken = room.taken;
  };
}
