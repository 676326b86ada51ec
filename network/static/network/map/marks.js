// The stations on the map: at each frame their values, verdicts and winds, as marks and in the table beneath.

import { Room, put } from "./labels.js";
import { arrow, shaft, written } from "./paint.js";
import { WORDS } from "./words.js";

const MISSING = 7;
const LEAST = 0.2; // [m/s] of a wind that has an arrow

export class Marks {
  constructor(svg, table, run, village) {
    Object.assign(this, { run, table, village });
    this.stations = run.head.stations.map((station, row) => ({ ...station, row, mark: made(svg, station) }));
  }

  // Returns the room that is taken then.
  draw(frame) {
    const { arrays: { values, verdicts }, head: { frames: { count }, decimals, unit, verdicts: words, picture } } = this.run;
    const [room, labels] = [new Room(picture), []];
    for (const { station, name, row, mark, x, y } of this.stations) {
      const at = row * count + frame;
      const verdict = words[verdicts[at]];
      const figure = verdicts[at] === MISSING || Number.isNaN(values[at]) ? "" : written(values[at], decimals);
      const wind = verdict === "good" && this.wind(row, frame);
      const flies = wind && Math.hypot(...wind) >= LEAST;
      mark.link.setAttribute("href", `${this.village}stations/${station}/?at=${this.run.timeOf(frame)}`);
      mark.link.setAttribute("aria-label", `${name}: ${figure ? `${figure} ${unit}` : WORDS.nothing}, ${WORDS.verdicts[verdict]}`);
      mark.dot.setAttribute("class", `dot ${verdict}`);
      mark.arrow.setAttribute("d", flies ? arrow(x, y, ...wind, true) : "");
      mark.value.textContent = figure;
      show(mark.dot, verdict !== "missing");
      show(mark.gap, verdict === "missing");
      show(mark.bar, verdict === "wrong");
      show(mark.half, verdict === "unchecked");
      room.mark({ x, y, shaft: flies ? shaft(x, y, ...wind, true) : null });
      labels.push({ x, y, name, figure, mark });
      this.tell(station, figure, verdict);
    }
    for (const { mark, ...label } of labels) {
      const side = room.side(label);
      put(mark.value, "value", side);
      put(mark.name, "name", side);
    }
    return room;
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
