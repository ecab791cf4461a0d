// The panel: boxes with counts, filters, the list, the details. Text only, never markup.

const LIST_MOST = 200;
const byId = (id) => document.getElementById(id);

function element(name, text, attributes) {
  const found = document.createElement(name);
  if (text !== undefined && text !== null) found.textContent = text;
  Object.entries(attributes || {}).forEach(([key, value]) => found.setAttribute(key, value));
  return found;
}

function button(text, act, attributes) {
  const found = element("button", text, { type: "button", ...attributes });
  found.addEventListener("click", act);
  return found;
}

function fillBoxes(id, words, chosen, drawing, changed) {
  byId(id).parentNode.classList.toggle("long", settings.count > 9999);
  const rows = words.map((word, k) => {
    const row = element("label");
    const box = element("input", null, { type: "checkbox" });
    box.checked = chosen[k];
    box.addEventListener("change", () => {
      chosen[k] = box.checked;
      changed();
    });
    const count = element("span", "", { class: "number" });
    row.append(box, drawing(k), element("span", word), count);
    byId(id).append(row);
    return { box, count };
  });
  return (counts) => rows.forEach((row, k) => {
    row.box.checked = chosen[k];
    row.count.textContent = counts[k].toLocaleString("en");
  });
}

function fillSelect(id, choices, changed) {
  const select = byId(id);
  choices.forEach(([value, text]) => select.append(element("option", text, { value })));
  select.addEventListener("change", () => changed(select.value));
}

function fillKey() {
  const list = byId("key").querySelector("ul");
  const row = (drawing, text) => {
    const item = element("li");
    item.append(drawing, element("span", text));
    list.append(item);
  };
  const sign = (text) => element("b", text, { class: "glyph" });
  row(svgGlyph(0, 0, true, 22), say("legend_suspect"));
  row(sign("≈"), say("legend_doubt"));
  row(sign("3"), say("legend_count"));
  const line = svgElement("svg", { width: 22, height: 22, class: "glyph" });
  line.append(svgElement("path", { d: "M1 11H21M11 5V17", fill: "none",
    stroke: settings.colours.line, "stroke-width": 2 }));
  row(line, say("legend_line"));
  const point = svgElement("svg", { width: 22, height: 22, class: "glyph" });
  point.append(svgElement("rect", { x: 7.5, y: 7.5, width: 7, height: 7,
    fill: GLYPH.paper, stroke: settings.colours.line, "stroke-width": 1.5 }));
  if (settings.points.length) row(point, say("legend_point"));
}

function rowOf(joints, i, open) {
  const item = element("li");
  const row = button(null, () => open(i), { "data-row": i });
  const due = joints.due[i] === NOTHING ? say("row_no_day")
    : say("row_due", { day: dayText(joints.due[i]) });
  const words = [settings.verdicts[joints.verdict[i]], due];
  if (joints.dueState[i] === 3 || joints.dueState[i] === 2) {
    words.push(settings.states[joints.dueState[i]]);
  }
  if (!joints.here(i)) words.push(say("row_nowhere"));
  row.append(svgGlyph(joints.verdict[i], joints.dueState[i],
    (joints.flags[i] & SUSPECT) !== 0, 22),
  element("span", joints.tag.at(i), { class: "tag" }),
  element("span", words.join(" · "), { class: "state" }));
  item.append(row);
  return item;
}

function fillList(list, joints, rows, open) {
  list.replaceChildren(...rows.map((i) => rowOf(joints, i, open)));
}

function firstShown(joints) {
  const found = [];
  const order = byDueDate(joints);
  for (let k = 0; k < order.length && found.length < LIST_MOST; k += 1) {
    if (joints.shown[order[k]]) found.push(order[k]);
  }
  return found;
}

function filterText(filter, counts) {
  const parts = [say("count", { shown: counts.shown.toLocaleString("en"),
    total: settings.count.toLocaleString("en") })];
  const some = (chosen, words) => (chosen.every(Boolean) ? null
    : words.filter((word, k) => chosen[k]).join(", ") || say("none"));
  const until = filter.until === null ? null : dayText(filter.until);
  parts.push(some(filter.verdict, settings.verdicts), some(filter.state, settings.states),
    settings.areas[filter.area], settings.kinds[filter.kind],
    until && say("until_today", { on: until }), filter.only && say("only_" + filter.only),
    filter.search.trim() && say("count_search", { text: filter.search.trim() }),
    counts.nowhere && say("count_nowhere", { count: counts.nowhere.toLocaleString("en") }));
  return parts.filter(Boolean).join(" · ");
}

function showList(joints, filter, counts, open) {
  byId("count").textContent = filterText(filter, counts);
  fillList(byId("list"), joints, firstShown(joints), open);
  const note = counts.shown === 0 ? say("list_empty")
    : counts.shown > LIST_MOST ? say("list_cut", { count: LIST_MOST }) : "";
  byId("list-note").textContent = note;
}

function positionText(joints, i) {
  if (!joints.here(i)) return say("nowhere");
  const [lat, lon] = joints.latLng(i);
  const metre = joints.accuracy[i];
  const exact = Number.isNaN(metre) ? say("accuracy_unknown")
    : say("accuracy", { metre: Number(metre.toPrecision(3)) });
  return `${Math.abs(lat).toFixed(5)} ${lat < 0 ? "S" : "N"}, `
    + `${Math.abs(lon).toFixed(5)} ${lon < 0 ? "W" : "E"} (${exact})`;
}

function fieldsOf(joints, i) {
  const missing = say("not_on_record");
  const due = dayText(joints.due[i]);
  const state = settings.states[joints.dueState[i]];
  return [
    ["verdict", settings.verdicts[joints.verdict[i]]],
    ["due", due ? `${due} (${state})` : state],
    ["because", joints.because.at(i)],
    ["last", dayText(joints.last[i]) || missing],
    ["boundary", settings.boundaries[joints.boundary[i]] || missing],
    ["area", settings.areas[joints.area[i]] || missing],
    ["kind", settings.kinds[joints.kind[i]] || missing],
    ["where", joints.where.at(i)],
    ["position", positionText(joints, i)],
    ["alias", joints.alias.at(i)],
  ].filter(([, text]) => text);
}

// A dossier's address is its file name, part by part, so that "?" or "#" cannot cut it.
function dossierLink(file) {
  const path = file.split("/").map(encodeURIComponent).join("/");
  return element("a", say("dossier"), { href: "dossiers/" + path });
}

function detailsOf(joints, i, acts) {
  const head = element("h2", joints.tag.at(i), { id: "details-tag", tabindex: "-1" });
  head.prepend(svgGlyph(joints.verdict[i], joints.dueState[i],
    (joints.flags[i] & SUSPECT) !== 0, 22));
  const fields = element("dl");
  fieldsOf(joints, i).forEach(([name, text]) => {
    fields.append(element("dt", say("field_" + name)), element("dd", text));
  });
  const notes = [];
  if (joints.flags[i] & SUSPECT) notes.push(element("p", say("suspect"), { class: "notice" }));
  if (joints.flags[i] & DOUBT) notes.push(element("p", say("doubt"), { class: "notice" }));
  const ways = element("p", null, { class: "ways" });
  if (joints.file(i)) ways.append(dossierLink(joints.file(i)));
  if (joints.here(i)) ways.append(button(say("show"), acts.show));
  if (acts.back) ways.append(button(say("back"), acts.back));
  ways.append(button(say("close"), acts.close));
  return [head, ...notes, fields, ways];
}

function hereOf(joints, rows, open, close) {
  const title = say("here", { count: rows.length.toLocaleString("en") });
  const head = element("h2", title, { id: "details-tag", tabindex: "-1" });
  const list = element("ol", null, { "aria-labelledby": "details-tag" });
  const worst = [...rows].sort((a, b) =>
    VERDICT_RANK[joints.verdict[b]] - VERDICT_RANK[joints.verdict[a]]
    || STATE_RANK[joints.dueState[b]] - STATE_RANK[joints.dueState[a]] || a - b);
  fillList(list, joints, worst.slice(0, LIST_MOST), open);
  const cut = rows.length > LIST_MOST ? [element("p", say("list_cut", { count: LIST_MOST }))]
    : [];
  const ways = element("p", null, { class: "ways" });
  ways.append(button(say("close"), close));
  return [head, list, ...cut, ways];
}
