// The sheet of the village: a tap fills the two fields, and the fields move the mark. The terrain proposes a height.
const sheet = document.querySelector(".sheet");
const svg = sheet.querySelector("svg");
const own = sheet.querySelector(".own");
const seen = sheet.querySelector(".seen");
const latitude = document.getElementById("id_latitude");
const longitude = document.getElementById("id_longitude");
const elevation = document.getElementById("id_elevation");
const terrain = document.getElementById("terrain");
const step = Number(sheet.dataset.rounded);
const box = {};
for (const side of ["south", "north", "west", "east"]) box[side] = Number(sheet.dataset[side]);
let proposed = "";
let asked = 0;
let waiting;

const figure = (field) => (field.value.trim() === "" ? NaN : Number(field.value.replace(",", ".").replace("−", "-")));
const known = () => Number.isFinite(figure(latitude)) && Number.isFinite(figure(longitude));

function place(mark, north, east, visible) {
  mark.setAttribute("visibility", visible ? "visible" : "hidden");
  if (!visible) return;
  const { width, height } = svg.viewBox.baseVal;
  const x = ((east - box.west) / (box.east - box.west)) * width;
  const y = ((box.north - north) / (box.north - box.south)) * height;
  mark.setAttribute("transform", `translate(${x} ${y})`);
}

function move() {
  const shown = document.querySelector("input[name=shown]:checked")?.value;
  const rounded = (field) => Math.round(figure(field) / step) * step;
  place(own, figure(latitude), figure(longitude), known());
  place(seen, rounded(latitude), rounded(longitude), known() && shown === "rounded");
}

async function ask() {
  const turn = ++asked;
  const where = new URLSearchParams({ latitude: figure(latitude), longitude: figure(longitude) });
  try {
    const answer = await fetch(`${terrain.dataset.ask}?${where}`, { headers: { Accept: "application/json" } });
    const told = answer.ok ? (await answer.json()).elevation : null;
    if (turn !== asked || told === null) return;
    if (elevation.value === "" || elevation.value === proposed) elevation.value = proposed = String(told);
    terrain.textContent = `The village’s terrain says ${told} m here.`;
  } catch {
    // The network is away: the height is typed, or left empty for the hub to say.
  }
}

function moved() {
  move();
  clearTimeout(waiting);
  if (terrain && known()) waiting = setTimeout(ask, 300);
}

svg.addEventListener("click", (event) => {
  const edge = svg.getBoundingClientRect();
  const right = (event.clientX - edge.left) / edge.width;
  const down = (event.clientY - edge.top) / edge.height;
  longitude.value = (box.west + right * (box.east - box.west)).toFixed(5);
  latitude.value = (box.north - down * (box.north - box.south)).toFixed(5);
  for (const field of [latitude, longitude]) {
    document.getElementById(`${field.id}_error`)?.remove(); // what was wrong is written over
    field.removeAttribute("aria-invalid");
  }
  moved();
});
latitude.addEventListener("input", moved);
longitude.addEventListener("input", moved);
for (const way of document.querySelectorAll("input[name=shown]")) way.addEventListener("change", move);
sheet.classList.add("live");
move();
