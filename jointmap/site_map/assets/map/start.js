// Everything put together: map, sheets, panel, address, print.

function corner(map, position, build) {
  const Own = L.Control.extend({ options: { position }, onAdd: build });
  new Own().addTo(map);
}

function furnish(map, wholeSite) {
  L.control.scale({ imperial: false, maxWidth: 160 }).addTo(map);
  corner(map, "topleft", () => {
    const box = L.DomUtil.create("div", "leaflet-bar whole");
    box.append(button(say("whole_site"), wholeSite));
    L.DomEvent.disableClickPropagation(box);
    return box;
  });
  corner(map, "topright", () => {
    const box = L.DomUtil.create("div", "north");
    const arrow = svgElement("svg", { width: 14, height: 34, "aria-hidden": "true" });
    arrow.append(svgElement("path", { d: "M7 34V2M2 12L7 2L12 12", fill: "none",
      stroke: INK, "stroke-width": 2 }));
    box.append(element("span", say("north")), arrow);
    return box;
  });
}

function makePane(map, name, level) {
  map.createPane(name).style.zIndex = level;
  map.getPane(name).style.pointerEvents = "none";
  return name;
}

// "#joint=TAG", or "#verdict=shorted,doubtful&due=past the limit&area=NAME".
function readAddress(filter) {
  const wanted = new URLSearchParams(window.location.hash.slice(1));
  const pick = (key, words) => {
    const named = (wanted.get(key) || "").split(",").filter((w) => words.includes(w));
    return words.map((word) => named.length === 0 || named.includes(word));
  };
  filter.verdict.splice(0, 9, ...pick("verdict", settings.verdicts));
  filter.state.splice(0, 9, ...pick("due", settings.states));
  filter.area = settings.areas.indexOf(wanted.get("area"));
  filter.kind = settings.kinds.indexOf(wanted.get("kind"));
  filter.only = wanted.get("only") in ONLY ? wanted.get("only") : "";
  return wanted.get("joint");
}

function rowNamed(joints, tag) {
  for (let i = 0; i < joints.n; i += 1) if (joints.tag.at(i) === tag) return i;
  return -1;
}

function makeDetails(map, joints, look, redraw) {
  const box = byId("details");
  let from = null;
  function fill(parts) {
    box.replaceChildren(...parts);
    box.hidden = false;
    byId("panel").scrollTop = 0;
    byId("details-tag").focus({ preventScroll: true });
  }
  function close() {
    box.hidden = true;
    look.chosen = -1;
    redraw();
    (from && from.isConnected ? from : byId("search")).focus();
    from = null;
  }
  const show = (i) => map.setView(joints.latLng(i), Math.max(map.getZoom(), 18));
  function open(i, back) {
    if (!box.contains(document.activeElement)) from = document.activeElement;
    look.chosen = i;
    fill(detailsOf(joints, i, { show: () => show(i), back, close }));
    if (joints.here(i) && !map.getBounds().contains(joints.latLng(i))) {
      map.panTo(joints.latLng(i));
    }
    redraw();
  }
  function openAll(rows) {
    if (!box.contains(document.activeElement)) from = document.activeElement;
    fill(hereOf(joints, rows, (i) => open(i, () => openAll(rows)), close));
  }
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && !box.hidden) close();
  });
  return { open, openAll, show };
}

function wireFilters(filter, changed) {
  const sign = (verdict, state) => svgGlyph(verdict, state, false, 22);
  const showVerdicts = fillBoxes("verdicts", settings.verdicts, filter.verdict,
    (k) => sign(k, 0), changed);
  const showStates = fillBoxes("states", settings.states, filter.state,
    (k) => sign(0, k), changed);
  const take = (name, read) => (value) => {
    filter[name] = read(value);
    changed();
  };
  const named = (words) => [[-1, say("all")], ...words.map((word, k) => [k, word])];
  fillSelect("area", named(settings.areas), take("area", Number));
  fillSelect("kind", named(settings.kinds), take("kind", Number));
  fillSelect("until", [["", say("any_day")], ["0", say("until_today", { on: settings.on })],
    ...settings.months.map((m) => [daysUntilEndOf(m), say("until_month", { month: m })])],
  take("until", (value) => (value === "" ? null : Number(value))));
  fillSelect("only", [["", say("every_joint")],
    ...["suspect", "doubt", "nowhere"].map((k) => [k, say("only_" + k)])],
  take("only", String));
  return (counts) => {
    showVerdicts(counts.verdict);
    showStates(counts.state);
    ["area", "kind", "only"].forEach((id) => { byId(id).value = filter[id]; });
    byId("until").value = filter.until === null ? "" : filter.until;
  };
}

function wireSearch(filter, changed) {
  let waiting = 0;
  byId("search").addEventListener("input", (event) => {
    filter.search = event.target.value;
    clearTimeout(waiting);
    waiting = setTimeout(changed, settings.count > 50000 ? 150 : 0);
  });
  byId("search").addEventListener("keydown", (event) => {
    const first = byId("list").querySelector("button");
    if (event.key === "Enter" && first) first.click();
  });
}

function wireReset(filter, changed) {
  byId("reset").addEventListener("click", () => {
    const { verdict, state, ...rest } = freshFilter();
    Object.assign(filter, rest);
    filter.verdict.splice(0, 9, ...verdict);
    filter.state.splice(0, 9, ...state);
    byId("search").value = "";
    changed();
  });
}

// Paper is another size: the same piece of land is fitted to it, and back again after.
function wirePrint(map) {
  const key = byId("key");
  let kept = null;
  const fit = (bounds, on) => {
    printing = on;
    document.body.classList.toggle("printing", on);
    map.invalidateSize({ animate: false });
    map.fitBounds(bounds, { animate: false });
  };
  window.addEventListener("beforeprint", () => {
    kept = { bounds: map.getBounds(), center: map.getCenter(), zoom: map.getZoom(),
      open: key.open };
    key.open = true;
    fit(kept.bounds, true);
  });
  window.addEventListener("afterprint", () => {
    fit(kept.bounds, false);
    key.open = kept.open;
    map.setView(kept.center, kept.zoom, { animate: false });
  });
}

function wireMap(map, joints, look, details) {
  const at = (event) => jointsAt(joints, look, event.containerPoint);
  map.on("click", (event) => {
    const rows = at(event);
    if (rows.length === 1) details.open(rows[0]);
    if (rows.length > 1) details.openAll(rows);
  });
  map.on("mousemove", (event) => {
    const rows = joints.n > 200000 ? [] : at(event);
    const box = map.getContainer();
    box.style.cursor = rows.length ? "pointer" : "";
    box.title = rows.length === 1 ? joints.tag.at(rows[0])
      : rows.length ? say("here", { count: rows.length }) : "";
  });
}

function run(map, columns) {
  const joints = makeJoints(columns);
  const filter = freshFilter();
  const look = { chosen: -1, signs: [], size: 22 };
  const wholeSite = () => map.fitBounds(settings.bounds, { padding: [36, 36], maxZoom: 18 });
  map.fitBounds(settings.bounds, { padding: [36, 36], maxZoom: 18, animate: false });
  furnish(map, wholeSite);
  const ground = makeGround(joints, look);
  new Sheet(makePane(map, "ground", 440), ground).addTo(map);
  const marks = new Sheet(makePane(map, "joints", 450), makeMarks(joints, look, ground));
  const details = makeDetails(map, joints, look, () => marks.redraw());
  function changed() {
    const counts = applyFilter(joints, filter);
    refresh(counts);
    marks.redraw();
    showList(joints, filter, counts, (i) => details.open(i));
  }
  const refresh = wireFilters(filter, changed);
  wireSearch(filter, changed);
  wireReset(filter, changed);
  wirePrint(map);
  wireMap(map, joints, look, details);
  fillKey();
  const follow = () => {
    const row = rowNamed(joints, readAddress(filter));
    changed();
    if (row >= 0) details.open(row);
    if (row >= 0 && joints.here(row)) details.show(row);
  };
  marks.addTo(map);
  window.addEventListener("hashchange", follow);
  byId("more").open = byId("more").open || window.innerWidth > 760;
  follow();
  document.body.dataset.ready = "yes";
}

window.startJointMap = function startJointMap(map) {
  unpack().then((columns) => run(map, columns)).catch((fault) => {
    byId("trouble").textContent = say("cannot_unpack");
    byId("trouble").hidden = false;
    console.error(fault);
  });
};
