// A sheet: one canvas over the whole view, in a pane of its own, redrawn when the map rests.

const EDGE = 0.15;

const Sheet = L.Layer.extend({
  initialize(pane, paint) {
    this._pane = pane;
    this._paint = paint;
  },
  onAdd(map) {
    this._map = map;
    this._canvas = L.DomUtil.create("canvas", "leaflet-zoom-animated",
      map.getPane(this._pane));
    this.redraw();
  },
  onRemove() {
    this._canvas.remove();
  },
  getEvents() {
    return { moveend: this.redraw, resize: this.redraw, zoom: this._stretch,
      zoomanim: this._animate };
  },
  redraw() {
    const map = this._map;
    const size = map.getSize();
    const pad = size.multiplyBy(EDGE).round();
    const whole = size.add(pad.multiplyBy(2));
    const corner = map.containerPointToLayerPoint(pad.multiplyBy(-1)).round();
    const ratio = Math.max(window.devicePixelRatio || 1, printing ? 2 : 1);
    this._zoom = map.getZoom();
    this._bounds = L.latLngBounds(map.layerPointToLatLng(corner),
      map.layerPointToLatLng(corner.add(whole)));
    L.DomUtil.setTransform(this._canvas, corner, 1);
    this._canvas.width = whole.x * ratio;
    this._canvas.height = whole.y * ratio;
    this._canvas.style.width = whole.x + "px";
    this._canvas.style.height = whole.y + "px";
    const pen = this._canvas.getContext("2d");
    pen.scale(ratio, ratio);
    const origin = map.getPixelBounds().min.subtract(pad);
    this._paint(pen, { left: origin.x, top: origin.y, width: whole.x, height: whole.y,
      scale: 256 * 2 ** this._zoom, zoom: this._zoom, ratio,
      padX: pad.x, padY: pad.y });
  },
  _stretch() {
    this._move(this._map.getZoom(), this._map.getCenter());
  },
  _animate(event) {
    this._move(event.zoom, event.center);
  },
  // Until the next redraw the drawing is only moved and scaled.
  _move(zoom, center) {
    const offset = this._map._latLngBoundsToNewLayerBounds(this._bounds, zoom, center).min;
    L.DomUtil.setTransform(this._canvas, offset, this._map.getZoomScale(zoom, this._zoom));
  },
});

let printing = false;

// Text with a white edge, so that it can be read on a line.
function label(pen, text, x, y, style) {
  pen.font = style.font;
  pen.textAlign = style.align || "left";
  pen.textBaseline = style.base || "middle";
  pen.lineJoin = "round";
  pen.lineWidth = 3;
  pen.strokeStyle = GLYPH.paper;
  pen.fillStyle = style.colour || INK;
  pen.strokeText(text, x, y);
  pen.fillText(text, x, y);
}

// Keeps places of labels, so that none is put over another.
function makeRoom(before) {
  const taken = [...(before || [])];
  const room = (left, top, width, height) => {
    const free = taken.every(([l, t, w, h]) =>
      left >= l + w || left + width <= l || top >= t + h || top + height <= t);
    if (free) taken.push([left, top, width, height]);
    return free;
  };
  room.taken = taken;
  return room;
}
