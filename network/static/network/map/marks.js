// The stations on the map: at each frame their values, verdicts and winds, as marks and in the table beneath.

import { arrow, written } from "./paint.js";
import { WORDS } from "./words.js";

const ROOM = 110; // that a station's words take beside it, in units of the picture
const MISSING = 7;

export class Marks {
  constructor(svg, table, run, village) {
    Object.assign(this, { run, table, village });
    this.stations = run.head.stations.map((station, row) => ({ ...station, row, mark: made(svg, station) }));
  }

  draw(frame) {
    const { arrays: { values, verdicts }, head: { frames: { count }, decimals, unit, verdicts: words } } = this.run;
    for (const { station, name, row, mark, x, y } of this.stations) {
      const at = row * count + frame;
      const verdict = words[verdicts[at]];
      const figure = verdicts[at] === MISSING || Number.isNaN(values[at]) ? "" : written(values[at], decimals);
      const flown = verdict === "good" ? this.flown(row, frame, x, y) : "";
      mark.link.setAttribute("href", `${this.village}stations/${station}/?at=${this.run.timeOf(frame)}`);
      mark.link.setAttribute("aria-label", `${name}: ${figure ? `${figure} ${unit}` : WORDS.nothing}, ${WORDS.verdicts[verdict]}`);
      mark.dot.setAttribute("class", `dot ${verdict}`);
      mark.arrow.setAttribute("d", flown);
      mark.value.textContent = figure;
      show(mark.dot, verdict !== "missing");
      show(mark.gap, verdict === "missing");
      show(mark.bar, verdict === "wrong");
      show(mark.half, verdict === "unchecked");
      const left = x > this.run.head.picture.width - ROOM || (this.eastward(row, frame) && flown && x > ROOM);
      for (const text of [mark.value, mark.name]) {
        text.setAttribute("dx", left ? -11 : 11);
        text.classList.toggle("left", left);
      }
      this.tell(station, figure, verdict);
    }
  }

  // The same in the table.
  tell(station, figure, verdict) {
    const row = this.table?.querySelector(`[data-station="${station}"]`);
    if (!row) return;
    row.querySelector(".number").textContent = figure || "–";
    const word = row.querySelector(".verdict");
    word.className = `verdict ${verdict}`;
    word.textContent = WORDS.verdicts[verdict];
  }

  wind(row, frame) {
    const { arrays: { winds }, head: { frames: { count } } } = this.run;
    return winds ? [winds[2 * row * count + frame], winds[(2 * row + 1) * count + frame]] : [NaN, NaN];
  }

  eastward(row, frame) {
    return this.wind(row, frame)[0] > 0;
  }

  flown(row, frame, x, y) {
    const [east, north] = this.wind(row, frame);
    return Math.hypot(east, north) >= 0.2 ? arrow(x, y, east, north, true) : "";
  }

  // Places [px] of a picture so wide.
  places(width) {
    const scale = width / this.run.head.picture.width;
    return this.stations.map(({ x, y }) => [x * scale, y * scale]);
  }
}

function made(svg, { name, x, y }) {
  const link = svg.appendChild(element("a", { class: "mark" }));
  const add = (kind, attributes, text = "") => {
    const one = link.appendChild(element(kind, attributes));
    one.textContent = text;
    return one;
  };
  add("circle", { class: "touch", cx: x, cy: y, r: 22 });
  return {
    link,
    arrow: add("path", { class: "arrow station" }),
    gap: add("path", { class: "gap", d: `M${x} ${y}m-7 0h14` }),
    dot: add("circle", { class: "dot", cx: x, cy: y, r: 4.5 }),
    bar: add("path", { class: "dot bar", d: `M${x} ${y}m-9 0h18` }),
    half: add("path", { class: "half", d: `M${x} ${y}m0-4.5a4.5 4.5 0 0 1 0 9z` }),
    value: add("text", { class: "value", x, y, dy: "-0.1em" }),
    name: add("text", { class: "name", x, y, dy: "1em" }, name),
  };
}

export function element(kind, attributes) {
  const one = document.createElementNS("http://www.w3.org/2000/svg", kind);
  for (const [name, value] of Object.entries(attributes)) one.setAttribute(name, value);
  return one;
}

function show(one, shown) {
  one.toggleAttribute("hidden", !shown);
}
