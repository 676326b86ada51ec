// The map page: a slider over two days, each of whose maps is mixed and drawn here from what came once.

import { GateKeeper } from "./map/gate.js";
import { Marks, element } from "./map/marks.js";
import { Painter, written } from "./map/paint.js";
import { fetchRun } from "./map/run.js";
import { WORDS } from "./map/words.js";

const SMOOTH = 90; // [ms] a frame while it plays
const CALM = { frames: 6, pause: 1000 }; // hour by hour, for readers who want less motion
const HOUR = 6; // frames

const page = document.querySelector(".map-page");
if (page) start(page).catch((error) => (page.querySelector(".trouble").textContent = `${error.message} ${WORDS.trouble}`));

async function start(page) {
  const run = await fetchRun(page.dataset.run);
  const find = (selector) => page.querySelector(selector);
  const ground = find(".sheet .village-map");
  const [below, above] = [0, 1].map(() => document.createElement("canvas"));
  const stations = element("svg", { class: "village-map stations", viewBox: ground.getAttribute("viewBox") });
  ground.before(below);
  ground.after(above, stations);
  const painter = new Painter(below, above, run);
  const marks = new Marks(stations, find(".map-table"), run, page.dataset.village);
  const gate = new GateKeeper(find(".my-gate"), stations, run);
  for (const old of ground.querySelectorAll(".field, .mark")) old.remove(); // drawn here from now on
  const slider = find("input[type=range]");
  const halves = page.dataset.hours === "12";
  const clock = new Intl.DateTimeFormat(document.documentElement.lang, {
    hour: halves ? "numeric" : "2-digit", minute: "2-digit", hour12: halves, weekday: "long", day: "numeric", month: "long", timeZone: run.head.zone,
  });

  function draw() {
    const frame = run.frameOf(Number(slider.value));
    const fields = run.fieldsAt(frame);
    painter.draw(frame, fields, [...marks.places(painter.width), ...gate.places(painter)]);
    const room = marks.draw(frame);
    gate.at = run.timeOf(frame);
    gate.draw(fields, room);
    tell(frame, fields !== null);
  }

  function tell(frame, drawn) {
    const { time, day } = parts(clock, run.timeOf(frame));
    const moment = filled(WORDS.moment, { time, day });
    find(".when time").textContent = time;
    find(".moment").textContent = moment;
    find("output[for=at]").value = time;
    slider.setAttribute("aria-valuetext", moment);
    find(".doubt").textContent = run.caption(frame);
    ground.querySelector("title").textContent = run.head.title.replace("{}", time);
    ground.querySelector("desc").textContent = run.caption(frame);
    for (const name of ["low", "high"]) {
      const end = find(`.map-key .${name}`);
      if (end) end.textContent = drawn ? written(run.arrays[name][frame], run.head.decimals) : "";
    }
  }

  // The address keeps the moment and the gate, and so do the links to the other variables.
  function keep() {
    const kept = new URLSearchParams({ variable: run.head.variable, at: slider.value });
    if (gate.place) {
      kept.set("lat", gate.place.latitude);
      kept.set("lon", gate.place.longitude);
    }
    history.replaceState(null, "", `?${kept}`);
    for (const link of page.querySelectorAll("nav.variables a")) {
      kept.set("variable", link.dataset.variable);
      link.search = kept;
    }
  }

  gate.onmove = () => (draw(), keep());
  slider.addEventListener("input", draw);
  slider.addEventListener("change", keep);
  slider.addEventListener("keydown", (event) => {
    const hours = { PageUp: 1, PageDown: -1 }[event.key];
    if (!hours) return;
    event.preventDefault();
    slider.value = Number(slider.value) + hours * HOUR * run.head.frames.step;
    draw();
    keep();
  });
  new ResizeObserver(() => (painter.fit(), draw())).observe(above);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => (painter.dip(), draw()));
  play(find("button.play"), slider, run, draw, keep);
  for (const one of page.querySelectorAll("[data-without-script]")) one.hidden = true;
  page.drawing = { run, draw, slider }; // for whoever wants to look at it from the console
  page.dataset.ready = "";
}

// A button that lets the two days pass: smoothly, or hour by hour for readers who want less motion.
function play(button, slider, run, draw, keep) {
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  let playing = false, last = 0;
  button.hidden = false;
  button.addEventListener("click", () => (playing ? stop() : begin()));
  slider.addEventListener("pointerdown", () => playing && stop());

  function begin() {
    playing = true;
    button.textContent = WORDS.pause;
    if (Number(slider.value) >= Number(slider.max)) slider.value = slider.min;
    requestAnimationFrame(step);
  }

  function stop() {
    playing = false;
    button.textContent = WORDS.play;
    keep();
  }

  function step(now) {
    if (!playing) return;
    if (now - last >= (calm.matches ? CALM.pause : SMOOTH)) {
      last = now;
      slider.value = Number(slider.value) + run.head.frames.step * (calm.matches ? CALM.frames : 1);
      draw();
      if (Number(slider.value) >= Number(slider.max)) return stop();
    }
    requestAnimationFrame(step);
  }
}

function parts(clock, seconds) {
  const said = Object.fromEntries(clock.formatToParts(new Date(seconds * 1000)).map(({ type, value }) => [type, value]));
  const half = said.dayPeriod ? `\u00a0${said.dayPeriod.toLowerCase()}` : "";
  return { time: `${said.hour}:${said.minute}${half}`, day: filled(WORDS.day, said) };
}

function filled(text, parts) {
  return text.replace(/\{(\w+)\}/g, (_, name) => parts[name]);
}
