// The joints' sheet: one sign per cell of the screen, the worst in it wins.

const SPREAD_ZOOM = 17.5;
const SPREAD_MOST = 60;
const LABELS_MOST = 60;
const TAG_FONT = "12px system-ui, sans-serif";
const COUNT_FONT = "bold 11px system-ui, sans-serif";
// How many cells of 22 pixels hold joints, and the sign's size; -1 is a cell of 4 pixels.
const SIZES = [[140, 22], [300, 16], [700, 12], [1200, 10], [Infinity, -1]];

function sizeFor(cells) {
  const held = cells.count.reduce((sum, count) => sum + (count > 0), 0);
  return SIZES.find(([most]) => held <= most)[1];
}

// One pass over all joints; cells are tied to the world, so they hold still in a pan.
function gather(joints, view, pitch) {
  const firstColumn = Math.floor(view.left / pitch);
  const firstRow = Math.floor(view.top / pitch);
  const columns = Math.ceil(view.width / pitch) + 2;
  const rows = Math.ceil(view.height / pitch) + 2;
  const first = new Int32Array(columns * rows).fill(-1);
  const count = new Uint32Array(columns * rows);
  const state = new Uint8Array(columns * rows);
  const flags = new Uint8Array(columns * rows);
  const cellOf = (i) => {
    const column = Math.floor(joints.x[i] * view.scale / pitch) - firstColumn;
    const row = Math.floor(joints.y[i] * view.scale / pitch) - firstRow;
    return column >= 0 && row >= 0 && column < columns && row < rows
      ? row * columns + column : -1;
  };
  for (let i = 0; i < joints.n; i += 1) {
    const cell = joints.shown[i] ? cellOf(i) : -1;
    if (cell < 0) continue;
    const due = joints.dueState[i];
    const worst = first[cell];
    if (worst < 0 || VERDICT_RANK[joints.verdict[i]] > VERDICT_RANK[joints.verdict[worst]]) {
      first[cell] = i;
    }
    if (worst < 0 || STATE_RANK[due] > STATE_RANK[state[cell]]) state[cell] = due;
    flags[cell] |= joints.flags[i];
    count[cell] += 1;
  }
  return { first, count, state, flags, cellOf, columns };
}

function membersOf(joints, cells, sign) {
  const found = [];
  for (let i = 0; i < joints.n; i += 1) {
    if (joints.shown[i] && sign.cells.includes(cells.cellOf(i))) found.push(i);
  }
  return found;
}

function signsOf(joints, view, cells) {
  const signs = [];
  cells.first.forEach((i, cell) => {
    if (i < 0) return;
    signs.push({ cells: [cell], first: i, count: cells.count[cell], state: cells.state[cell],
      flags: cells.flags[cell], verdict: joints.verdict[i],
      x: joints.x[i] * view.scale - view.left, y: joints.y[i] * view.scale - view.top });
  });
  signs.sort((a, b) => VERDICT_RANK[a.verdict] - VERDICT_RANK[b.verdict]
    || STATE_RANK[a.state] - STATE_RANK[b.state]);
  return signs;
}

// Signs that would lie over each other become one; the graver one keeps its place.
function merged(signs, cells, size) {
  const kept = new Map();
  [...signs].reverse().forEach((sign) => {
    const [cell] = sign.cells;
    const near = [-1, 0, 1].flatMap((row) => [-1, 0, 1].map((column) =>
      kept.get(cell + row * cells.columns + column)));
    const over = near.find((other) => other && Math.abs(other.x - sign.x) < size * 0.9
      && Math.abs(other.y - sign.y) < size);
    if (!over) {
      kept.set(cell, sign);
      return;
    }
    over.cells.push(cell);
    over.count += sign.count;
    over.flags |= sign.flags;
    if (STATE_RANK[sign.state] > STATE_RANK[over.state]) over.state = sign.state;
  });
  return [...kept.values()].reverse();
}

// Close up, joints that share a cell are set beside each other, each tied to its place.
function spread(joints, view, cells, sign, size) {
  const members = membersOf(joints, cells, sign);
  const across = Math.ceil(Math.sqrt(members.length));
  const pitch = size * 1.5;
  return members.map((i, k) => ({
    cells: [], first: i, count: 1, state: joints.dueState[i], flags: joints.flags[i],
    verdict: joints.verdict[i],
    trueX: joints.x[i] * view.scale - view.left, trueY: joints.y[i] * view.scale - view.top,
    x: sign.x + ((k % across) - (across - 1) / 2) * pitch,
    y: sign.y - pitch * (1 + Math.floor(k / across)),
  }));
}

function paintTie(pen, sign) {
  strokePath(pen, [[sign.x, sign.y], [sign.trueX, sign.trueY]], 1, settings.colours.line);
  pen.fillStyle = INK;
  pen.fillRect(sign.trueX - 1.5, sign.trueY - 1.5, 3, 3);
}

function paintSign(pen, view, sign, size) {
  const suspect = (sign.flags & SUSPECT) !== 0;
  const dots = size < 0 ? -Math.round(view.ratio) : Math.round(size * view.ratio);
  const drawing = sprite(sign.verdict, sign.state, suspect && size > 0, dots);
  const side = drawing.width / view.ratio;
  const snap = (v) => Math.round((v - side / 2) * view.ratio) / view.ratio;
  pen.drawImage(drawing, snap(sign.x), snap(sign.y), side, side);
}

function paintExtras(pen, sign, size, room) {
  const text = sign.count > 999 ? Math.floor(sign.count / 1000) + "k" : String(sign.count);
  const [x, y] = [sign.x + size * 0.46, sign.y - size * 0.42];
  if (sign.count > 1 && room(x, y - 6, 7 * text.length, 12)) {
    label(pen, text, x, y, { font: COUNT_FONT });
  }
  if (sign.flags & DOUBT) {
    label(pen, "≈", sign.x - size * 0.5, sign.y - size * 0.1,
      { font: "bold 15px system-ui, sans-serif", align: "right" });
  }
}

function paintTags(pen, joints, signs, size, room) {
  signs.forEach((s) => room(s.x - size / 2, s.y - size / 2, size, size));
  pen.font = TAG_FONT;
  [...signs].reverse().forEach((sign) => {
    if (sign.count > 1) return;
    const text = joints.tag.at(sign.first);
    const wide = pen.measureText(text).width;
    const places = [[sign.x - wide / 2, sign.y - size * 0.95],
      [sign.x - wide / 2, sign.y + size * 0.95],
      [sign.x + size * 0.6, sign.y], [sign.x - size * 0.6 - wide, sign.y]];
    const place = places.find(([x, y]) => room(x - 2, y - 7, wide + 4, 14));
    if (place) label(pen, text, place[0], place[1], { font: TAG_FONT });
  });
}

// The chosen joint: corner marks, and how exactly its place is known.
function paintChosen(pen, view, joints, chosen, signs, size) {
  if (chosen < 0 || !joints.here(chosen)) return;
  const own = signs.find((s) => s.first === chosen && s.count === 1);
  const trueX = joints.x[chosen] * view.scale - view.left;
  const trueY = joints.y[chosen] * view.scale - view.top;
  const [x, y] = own ? [own.x, own.y] : [trueX, trueY];
  const half = Math.max(size, 10) * 0.5 + 6;
  const arm = half * 0.5;
  [[-1, -1], [1, -1], [1, 1], [-1, 1]].forEach(([a, b]) => {
    strokePath(pen, [[x + a * (half - arm), y + b * half], [x + a * half, y + b * half],
      [x + a * half, y + b * (half - arm)]], 3, settings.colours.accent);
  });
  const [lat] = joints.latLng(chosen);
  const metre = 40075016.686 * Math.cos(lat * Math.PI / 180) / view.scale;
  const radius = joints.accuracy[chosen] / metre;
  if (radius > half) {
    pen.setLineDash([5, 4]);
    pen.lineWidth = 1.5;
    pen.strokeStyle = settings.colours.accent;
    pen.beginPath();
    pen.arc(trueX, trueY, radius, 0, 2 * Math.PI);
    pen.stroke();
    pen.setLineDash([]);
  }
}

function makeMarks(joints, look, ground) {
  return (pen, view) => {
    // On paper a second canvas wipes the one below it (seen in Chromium), so both are one.
    if (printing) ground(pen, view);
    const wide = gather(joints, view, SIZES[0][1]);
    const size = sizeFor(wide);
    const cells = size === SIZES[0][1] ? wide : gather(joints, view, size < 0 ? 5 : size);
    let signs = signsOf(joints, view, cells);
    if (size >= 12) signs = merged(signs, cells, size);
    if (view.zoom >= SPREAD_ZOOM && size > 0) {
      signs = signs.flatMap((s) => (s.count > 1 && s.count <= SPREAD_MOST
        ? spread(joints, view, cells, s, size) : [s]));
    }
    signs.filter((s) => s.trueX !== undefined).forEach((s) => paintTie(pen, s));
    if (size >= 16 && signs.length <= LABELS_MOST) {
      paintTags(pen, joints, signs, size, makeRoom(look.taken));
    }
    signs.forEach((s) => paintSign(pen, view, s, size));
    const room = makeRoom();
    if (size >= 16) [...signs].reverse().forEach((s) => paintExtras(pen, s, size, room));
    paintChosen(pen, view, joints, look.chosen, signs, Math.abs(size));
    Object.assign(look, { signs, cells, size, padX: view.padX, padY: view.padY });
  };
}

// The joints under a place of the map's box: none, one, or all that share the sign.
function jointsAt(joints, look, point) {
  const reach = Math.max(Math.abs(look.size) * 0.75, 13);
  let best = null;
  let least = reach;
  for (const sign of look.signs) {
    const apart = Math.hypot(sign.x - look.padX - point.x, sign.y - look.padY - point.y);
    if (apart <= least) {
      least = apart;
      best = sign;
    }
  }
  if (!best) return [];
  return best.count === 1 ? [best.first] : membersOf(joints, look.cells, best);
}
