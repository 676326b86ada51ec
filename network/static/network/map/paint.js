// Draws the fields of one frame: the tint on a canvas below the ground, what tells figures on one above it.

import { isolines, levels, pieces } from "./isolines.js";

const PALE = 0.05, DEEP = 0.6; // how strongly the palest and the deepest tint are inked
const COVER = [[0.25, 0], [0.5, 0.25], [0.75, 0.45], [1, 0.62], [1.5, 0.78], [2, 0.9]]; // paper over it, by error in steps
const DOTS = 3200, FULL_RAIN = 12; // of a full stipple, and the rain [mm in an hour] that fills it
const ARROWS = 7; // across
const USUAL = 720; // width of a picture [px] whose dots are 1.3 wide
const ROOM = 40, EDGE = 20; // around a figure on an isoline, and from the picture's edge [px]

export class Painter {
  // `below` and `above` are canvases of one size.
  constructor(below, above, run) {
    Object.assign(this, { below, above, run });
    this.brush = below.getContext("2d");
    this.pen = above.getContext("2d");
    const { rows, columns } = run.head.grid;
    this.tint = Object.assign(document.createElement("canvas"), { width: columns, height: rows });
    this.dots = evenly(DOTS);
    this.fit();
    this.dip();
  }

  // Takes the size that the page gives it, in the screen's own pixels.
  fit() {
    const { width, height } = this.above.getBoundingClientRect();
    const fine = Math.min(window.devicePixelRatio || 1, 2);
    Object.assign(this, { width, height });
    for (const canvas of [this.below, this.above]) {
      Object.assign(canvas, { width: Math.round(width * fine), height: Math.round(height * fine) });
      canvas.getContext("2d").scale(fine, fine);
    }
  }

  // Takes the colours of the reader's theme.
  dip() {
    const style = getComputedStyle(this.above);
    const colour = (token) => style.getPropertyValue(token).trim();
    this.colours = Object.fromEntries(["ink", "paper", "iron", "tint"].map((name) => [name, colour(`--${name}`)]));
    this.figures = `12px ${colour("--figures")}`;
    this.inked = [1, 3, 5].map((at) => parseInt(this.colours.tint.slice(at, at + 2), 16));
  }

  // `taken` are places [px] that figures keep off.
  draw(frame, fields, taken) {
    const { brush, pen, run } = this;
    for (const one of [brush, pen]) one.clearRect(0, 0, this.width, this.height);
    if (!fields) return;
    const [step, low, high] = ["step", "low", "high"].map((name) => run.arrays[name][frame]);
    if ("eastward" in fields) return this.wind(fields);
    if ("chance" in fields) this.stipple(fields.fallen);
    else this.wash(fields, step, low, high);
    this.lines(fields, step, taken);
  }

  wash({ value, error }, step, low, high) {
    const { rows, columns } = this.run.head.grid;
    const small = this.tint.getContext("2d");
    const image = small.createImageData(columns, rows);
    const [red, green, blue] = this.inked;
    for (let cell = 0, row = rows - 1; row >= 0; row--) {
      for (let column = 0; column < columns; column++, cell++) {
        const at = 4 * (row * columns + column);
        const depth = Math.min(Math.max((value[cell] - low) / (high - low), 0), 1);
        image.data[at] = red;
        image.data[at + 1] = green;
        image.data[at + 2] = blue;
        image.data[at + 3] = 255 * (PALE + DEEP * depth) * (1 - cover(error[cell] / step));
      }
    }
    small.putImageData(image, 0, 0);
    // From the middle of the outermost cells to the middle of those opposite: there the picture ends.
    this.brush.drawImage(this.tint, 0.5, 0.5, columns - 1, rows - 1, 0, 0, this.width, this.height);
  }

  lines({ value, error }, step, taken) {
    const { rows, columns } = this.run.head.grid;
    const { pen } = this;
    const unsure = ([column, row]) => error[Math.round(row) * columns + Math.round(column)] > step / 2;
    const sure = new Path2D(), guessed = new Path2D();
    const used = [...taken], labels = [];
    const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
    for (const level of levels(value, step)) {
      if ("chance" in this.run.fields && level < step / 2) continue; // dry is no line
      for (const line of isolines(value, rows, columns, level)) {
        for (const { doubt, points } of pieces(line, unsure)) trace(doubt ? guessed : sure, points.map(this.place, this));
        const spot = this.room(line.map(this.place, this), used);
        if (!spot) continue;
        used.push(spot);
        labels.push([spot, written(level, decimals)]);
      }
    }
    pen.strokeStyle = this.colours.ink;
    pen.lineJoin = "round";
    pen.lineWidth = 1.3;
    pen.stroke(sure);
    pen.setLineDash([5, 5]);
    pen.globalAlpha = 0.75;
    pen.lineWidth = 1;
    pen.stroke(guessed);
    pen.setLineDash([]);
    pen.globalAlpha = 1;
    this.letter(labels);
  }

  letter(labels) {
    const { pen } = this;
    Object.assign(pen, { font: this.figures, textAlign: "center", textBaseline: "middle", lineWidth: 4 });
    pen.strokeStyle = this.colours.paper;
    pen.fillStyle = this.colours.ink;
    for (const [[x, y], text] of labels) {
      pen.strokeText(text, x, y);
      pen.fillText(text, x, y);
    }
  }

  // The place on a line with the most room for a figure, if there is enough.
  room(line, used) {
    let best = null, most = ROOM;
    for (let i = 0; i < line.length; i += 2) {
      const [x, y] = line[i];
      if (x < EDGE || y < EDGE || x > this.width - EDGE || y > this.height - EDGE) continue;
      let room = 160 - 20 * Math.abs(i / line.length - 0.5);
      for (const [a, b] of used) room = Math.min(room, Math.hypot(a - x, 1.6 * (b - y)));
      if (room > most) [best, most] = [line[i], room];
    }
    return best;
  }

  stipple(rain) {
    const { pen, run: { head: { grid: { rows, columns } } } } = this;
    const radius = Math.max(1.3 * this.width / USUAL, 0.7);
    pen.fillStyle = this.colours.iron;
    pen.beginPath();
    for (let order = 0; order < DOTS; order++) {
      const [x, y] = this.dots[order];
      const cell = Math.round((1 - y) * (rows - 1)) * columns + Math.round(x * (columns - 1));
      if (order >= DOTS * Math.sqrt(Math.min(rain[cell] / FULL_RAIN, 1))) continue;
      pen.moveTo(x * this.width + radius, y * this.height);
      pen.arc(x * this.width, y * this.height, radius, 0, 2 * Math.PI);
    }
    pen.fill();
  }

  wind({ eastward, northward, error }) {
    const { pen, run } = this;
    const down = Math.round(ARROWS * this.height / this.width);
    pen.strokeStyle = this.colours.tint;
    pen.lineCap = pen.lineJoin = "round";
    pen.lineWidth = 1.6;
    for (let i = 0; i < ARROWS * down; i++) {
      const x = (i % ARROWS + 0.5) / ARROWS, y = (Math.floor(i / ARROWS) + 0.5) / down;
      const [u, v, doubt] = [eastward, northward, error].map((field) => run.at(field, x, y));
      if (Math.hypot(u, v) < 0.2) continue;
      pen.setLineDash(Math.hypot(u, v) > doubt ? [] : [2, 4]);
      pen.stroke(new Path2D(arrow(x * this.width, y * this.height, u, v)));
    }
    pen.setLineDash([]);
  }

  // From columns and rows, the south first, to places on the canvas.
  place([column, row]) {
    const { rows, columns } = this.run.head.grid;
    return [column / (columns - 1) * this.width, (1 - row / (rows - 1)) * this.height];
  }
}

// An arrow that flies with the wind [m/s], its middle at a place; or its tail, a little off it.
export function arrow(x, y, eastward, northward, fromHere = false) {
  const speed = Math.hypot(eastward, northward);
  const [ax, ay] = [eastward / speed, -northward / speed];
  const [[tailX, tailY], [tipX, tipY]] = shaft(x, y, eastward, northward, fromHere);
  const barb = (side) => `${(tipX - 6 * ax - side * 3.5 * ay).toFixed(1)} ${(tipY - 6 * ay + side * 3.5 * ax).toFixed(1)}`;
  const tip = `${tipX.toFixed(1)} ${tipY.toFixed(1)}`;
  return `M${tailX.toFixed(1)} ${tailY.toFixed(1)}L${tip}M${barb(1)}L${tip}L${barb(-1)}`;
}

// Tail and tip of such an arrow.
export function shaft(x, y, eastward, northward, fromHere = false) {
  const speed = Math.hypot(eastward, northward);
  const [ax, ay] = [eastward / speed, -northward / speed];
  const length = Math.min(12 + 5 * speed, 50);
  const back = fromHere ? 6 : -length / 2;
  const [tailX, tailY] = [x + back * ax, y + back * ay];
  return [[tailX, tailY], [tailX + length * ax, tailY + length * ay]];
}

// A figure with a true minus sign and no minus nought.
const POINT = (1.5).toLocaleString(document.documentElement.lang).replace(/\d/g, "");

export function written(value, decimals) {
  const text = value.toFixed(decimals).replace(".", POINT);
  return (Number(value.toFixed(decimals)) === 0 ? text.replace("-", "") : text).replace("-", "−");
}

function cover(share) {
  if (share <= COVER[0][0]) return 0;
  for (let i = 1; i < COVER.length; i++) {
    const [[from, thin], [to, thick]] = [COVER[i - 1], COVER[i]];
    if (share <= to) return thin + (thick - thin) * (share - from) / (to - from);
  }
  return COVER.at(-1)[1];
}

function trace(path, points) {
  path.moveTo(...points[0]);
  for (let i = 1; i < points.length; i++) path.lineTo(...points[i]);
}

// Places from 0 to 1, every beginning of which is evenly spread: the additive recurrence of the plastic number.
function evenly(count) {
  return Array.from({ length: count }, (_, i) => [0.7548776662466927, 0.5698402909980532].map((by) => (0.5 + i * by) % 1));
}
