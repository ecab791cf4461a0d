// The block of columns inside the page, back into arrays.

const settings = JSON.parse(document.getElementById("map-settings").textContent);
const NOTHING = settings.nothing;

function say(id, values) {
  const text = settings.words["map." + id];
  return text.replace(/\{(\w+)(?::([^|{}]*)\|([^{}]*))?\}/g, (whole, name, one, more) => {
    if (!values || !(name in values)) return whole;
    const value = String(values[name]);
    if (more === undefined) return value;
    return value + " " + (value === "1" ? one : more);
  });
}

function bytesOf(text) {
  const raw = atob(text.trim());
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i += 1) bytes[i] = raw.charCodeAt(i);
  return bytes;
}

function inflated(bytes) {
  const stream = new Blob([bytes]).stream();
  const plain = stream.pipeThrough(new DecompressionStream("deflate"));
  return new Response(plain).arrayBuffer().then((b) => new Uint8Array(b));
}

function numbersOf(bytes) {
  const n = bytes.length / 4;
  const found = new Int32Array(n);
  for (let i = 0; i < n; i += 1) {
    found[i] = bytes[i] | (bytes[n + i] << 8) | (bytes[2 * n + i] << 16)
      | (bytes[3 * n + i] << 24);
  }
  return found;
}

function stepsOf(bytes) {
  const found = numbersOf(bytes);
  for (let i = 1; i < found.length; i += 1) found[i] = (found[i] + found[i - 1]) | 0;
  return found;
}

function lineEnds(text) {
  const ends = [];
  for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) ends.push(at);
  ends.push(text.length);
  return Uint32Array.from(ends);
}

// Lines stay one text; a name is cut out of it when it is asked for.
function linesOf(bytes) {
  const text = new TextDecoder().decode(bytes);
  let ends = null;
  return {
    text,
    at(i) {
      ends = ends || lineEnds(text);
      return i < ends.length ? text.slice(i ? ends[i - 1] + 1 : 0, ends[i]) : "";
    },
  };
}

const FORMS = {
  codes: (bytes) => bytes,
  numbers: numbersOf,
  steps: stepsOf,
  floats: (bytes) => new Float32Array(numbersOf(bytes).buffer),
  lines: linesOf,
};

async function unpack() {
  const text = document.getElementById("map-joints").textContent;
  const bytes = settings.packed ? await inflated(bytesOf(text)) : bytesOf(text);
  const columns = {};
  let at = 0;
  for (const [name, form, length] of settings.parts) {
    columns[name] = FORMS[form](bytes.subarray(at, at + length));
    at += length;
  }
  return columns;
}
