// The joints: where they are on the page, which of them the filter lets through.

const SUSPECT = 1;
const DOUBT = 2;
const DAY = 86400000;
const TODAY = Date.parse(settings.on + "T00:00:00Z");
// From mild to grave: isolating, not tested, inconclusive, doubtful, shorted.
const VERDICT_RANK = [0, 3, 4, 2, 1];
// Not due, in time, before next use, no basis, due this month, near, past the limit.
const STATE_RANK = [1, 4, 5, 6, 3, 2, 0];

function dayText(days) {
  return days === NOTHING ? "" : new Date(TODAY + days * DAY).toISOString().slice(0, 10);
}

function daysUntilEndOf(month) {
  const [year, number] = month.split("-").map(Number);
  return Math.round((Date.UTC(year, number, 0) - TODAY) / DAY);
}

// Longitude and latitude as shares of the square web map; NaN stays NaN.
function worldX(lon) {
  return (lon + 180) / 360;
}

function worldY(lat) {
  const sine = Math.sin(Math.max(-85.05, Math.min(85.05, lat)) * Math.PI / 180);
  return 0.5 - Math.log((1 + sine) / (1 - sine)) / (4 * Math.PI);
}

// Which lines of a text hold a word, marked in `hits`.
function markLines(text, word, hits) {
  let line = 0;
  let from = 0;
  for (let at = text.indexOf(word); at >= 0; at = text.indexOf(word, from)) {
    for (let end = text.indexOf("\n", from); end >= 0 && end < at;
      end = text.indexOf("\n", from)) {
      line += 1;
      from = end + 1;
    }
    hits[line] = 1;
    const next = text.indexOf("\n", at);
    if (next < 0) return;
    line += 1;
    from = next + 1;
  }
}

function makeJoints(c) {
  const n = settings.count;
  const x = new Float64Array(n).fill(NaN);
  const y = new Float64Array(n).fill(NaN);
  const here = (i) => c.latitude[i] !== NOTHING && c.longitude[i] !== NOTHING;
  for (let i = 0; i < n; i += 1) {
    if (here(i)) {
      x[i] = worldX(c.longitude[i] / 1e7);
      y[i] = worldY(c.latitude[i] / 1e7);
    }
  }
  const names = [c.tag.text.toLowerCase(), c.alias.text.toLowerCase()];
  return {
    ...c, n, x, y, names, here,
    shown: new Uint8Array(n).fill(1),
    hits: new Uint8Array(n),
    latLng: (i) => [c.latitude[i] / 1e7, c.longitude[i] / 1e7],
    file: (i) => (c.dossier.at(i) === "=" ? c.tag.at(i) + ".html" : c.dossier.at(i)),
    order: null,
  };
}

// Rows by due date, those without one last; made when the list first needs it.
function byDueDate(joints) {
  if (!joints.order) {
    const keys = new Float64Array(joints.n);
    const room = 2 ** 21;
    for (let i = 0; i < joints.n; i += 1) {
      const days = joints.due[i] === NOTHING ? 2 ** 30 : joints.due[i];
      keys[i] = days * room + i;
    }
    keys.sort();
    joints.order = Uint32Array.from(keys, (k) => ((k % room) + room) % room);
  }
  return joints.order;
}

function freshFilter() {
  return {
    verdict: settings.verdicts.map(() => true),
    state: settings.states.map(() => true),
    area: -1, kind: -1, until: null, only: "", search: "",
  };
}

const ONLY = {
  "": () => true,
  suspect: (joints, i) => (joints.flags[i] & SUSPECT) !== 0,
  doubt: (joints, i) => (joints.flags[i] & DOUBT) !== 0,
  nowhere: (joints, i) => !joints.here(i),
};

// A number beside a box says how many rows it brings with all other filters as they are.
function applyFilter(joints, filter) {
  const counts = {
    verdict: settings.verdicts.map(() => 0), state: settings.states.map(() => 0),
    shown: 0, nowhere: 0,
  };
  const word = filter.search.trim().toLowerCase();
  if (word) {
    joints.hits.fill(0);
    joints.names.forEach((text) => markLines(text, word, joints.hits));
  }
  const marked = ONLY[filter.only];
  for (let i = 0; i < joints.n; i += 1) {
    const fits = (!word || joints.hits[i] === 1)
      && (filter.area < 0 || joints.area[i] === filter.area)
      && (filter.kind < 0 || joints.kind[i] === filter.kind)
      && (filter.until === null
        || (joints.due[i] !== NOTHING && joints.due[i] <= filter.until))
      && marked(joints, i);
    const verdict = filter.verdict[joints.verdict[i]];
    const state = filter.state[joints.dueState[i]];
    if (fits && state) counts.verdict[joints.verdict[i]] += 1;
    if (fits && verdict) counts.state[joints.dueState[i]] += 1;
    joints.shown[i] = fits && verdict && state ? 1 : 0;
    counts.shown += joints.shown[i];
    if (joints.shown[i] && !joints.here(i)) counts.nowhere += 1;
  }
  return counts;
}
