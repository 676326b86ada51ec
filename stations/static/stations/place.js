// The sheet of the village: a tap fills the two fields, and the fields move the mark.
const sheet = document.querySelector(".sheet");
const svg = sheet.querySelector("svg");
const own = sheet.querySelector(".own");
const latitude = document.getElementById("id_latitude");
const longitude = document.getElementById("id_longitude");
const box = {};
for (const side of ["south", "north", "west", "east"]) box[side] = Number(sheet.dataset[side]);

function move() {
  const known = latitude.value !== "" && longitude.value !== "";
  const { width, height } = svg.viewBox.baseVal;
  const x = ((longitude.value - box.west) / (box.east - box.west)) * width;
  const y = ((box.north - latitude.value) / (box.north - box.south)) * height;
  own.setAttribute("visibility", known ? "visible" : "hidden");
  own.setAttribute("transform", `translate(${x} ${y})`);
}

svg.addEventListener("click", (event) => {
  const edge = svg.getBoundingClientRect();
  const right = (event.clientX - edge.left) / edge.width;
  const down = (event.clientY - edge.top) / edge.height;
  longitude.value = (box.west + right * (box.east - box.west)).toFixed(5);
  latitude.value = (box.north - down * (box.north - box.south)).toFixed(5);
  move();
});
latitude.addEventListener("input", move);
longitude.addEventListener("input", move);
sheet.classList.add("live");
