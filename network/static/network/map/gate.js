// 'At my gate': a click on the map or typed coordinates ask the server once; the figure on the map then follows
// the slider without asking.

import { put } from "./labels.js";
import { element } from "./marks.js";
import { written } from "./paint.js";
import { WORDS } from "./words.js";

const PLACES = 5; // decimals of a degree: about a metre

export class GateKeeper {
  constructor(section, svg, run) {
    Object.assign(this, { section, svg, run });
    this.form = section.querySelector("form");
    this.mark = svg.appendChild(element("g", { class: "gate", hidden: "" }));
    this.mark.append(element("path", { d: "M-11 0H-4M4 0H11M0 -11V-4M0 4V11" }), element("text", {}));
    svg.addEventListener("click", (event) => event.target.closest("a") || this.ask(this.clicked(event)));
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      const [latitude, longitude] = ["lat", "lon"].map((name) => Number(this.form.elements[name].value.replace(",", ".")));
      this.ask({ latitude, longitude });
    });
    const given = ["lat", "lon"].map((name) => parseFloat(this.form.elements[name].value));
    this.place = given.every(Number.isFinite) ? { latitude: given[0], longitude: given[1] } : null;
  }

  clicked({ clientX, clientY }) {
    const box = this.svg.getBoundingClientRect();
    const { west, east, south, north } = this.run.head.picture;
    const round = (degrees) => Number(degrees.toFixed(PLACES));
    return {
      latitude: round(north + (clientY - box.top) / box.height * (south - north)),
      longitude: round(west + (clientX - box.left) / box.width * (east - west)),
    };
  }

  // From 0 to 1, to the east and to the south.
  get spot() {
    const { west, east, south, north } = this.run.head.picture;
    const { latitude, longitude } = this.place;
    return [(longitude - west) / (east - west), (latitude - north) / (south - north)];
  }

  // Where it is on a canvas [px], if somebody has named it.
  places({ width, height }) {
    if (!this.place) return [];
    const [x, y] = this.spot;
    return [[x * width, y * height]];
  }

  draw(fields, room) {
    this.point();
    const [x, y] = this.place ? this.spot : [-1, -1];
    const inside = x >= 0 && x <= 1 && y >= 0 && y <= 1;
    this.mark.toggleAttribute("hidden", !inside);
    if (!inside) return;
    const { width, height } = this.run.head.picture;
    this.mark.setAttribute("transform", `translate(${x * width} ${y * height})`);
    const text = this.mark.querySelector("text");
    text.textContent = fields ? this.figure(fields, x, y) : "";
    put(text, "alone", room.side({ x: x * width, y: y * height, figure: text.textContent }));
  }

  // Shows on the chart of the last day when the map is of.
  point() {
    const chart = this.section.querySelector(".gate-chart");
    if (!chart) return;
    const { begins, ends } = chart.dataset;
    const share = (this.at - begins) / (ends - begins);
    const line = chart.querySelector(".now");
    line.toggleAttribute("hidden", share < 0 || share > 1);
    for (const end of ["x1", "x2"]) line.setAttribute(end, `${100 * share}%`);
  }

  figure(fields, x, y) {
    const { run } = this;
    const value = "eastward" in fields
      ? run.shown(Math.hypot(run.at(fields.eastward, x, y), run.at(fields.northward, x, y)))
      : run.at(fields.value, x, y);
    return written(value, run.head.decimals);
  }

  async ask(place, at = this.at) {
    this.place = place;
    this.onmove?.();
    const query = new URLSearchParams({ lat: place.latitude, lon: place.longitude, variable: this.run.head.variable, at });
    for (const [name, value] of [["lat", place.latitude], ["lon", place.longitude]]) {
      if (Number.isFinite(value)) this.form.elements[name].value = value; // else as it was typed
    }
    const asked = (this.asked = `${this.form.dataset.gate}?${query}`);
    const told = this.section.querySelector(".told");
    told.setAttribute("aria-busy", "true");
    const said = await answered(asked);
    if (asked !== this.asked) return; // somebody asked anew meanwhile
    told.removeAttribute("aria-busy");
    told.replaceChildren(...said);
    this.point();
  }
}

// What the page told at an address says; or that it did not come, and what to do.
async function answered(address) {
  try {
    const answer = await fetch(address);
    if (!answer.ok) return [trouble(WORDS.unsaid.replace("{status}", answer.status))];
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    return page.querySelector(".told").childNodes;
  } catch {
    return [trouble(WORDS.unanswered)];
  }
}

function trouble(words) {
  const said = document.createElement("p");
  said.className = "answer";
  said.textContent = words;
  return said;
}
