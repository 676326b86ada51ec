// Reads a chart off: by pointer, or column by column with the arrow keys. The figures come with the page.
(() => {
  const figure = document.querySelector(".reads-off");
  const source = document.getElementById("reading-off");
  if (!figure || !source) return;
  const told = JSON.parse(source.textContent);
  const drawing = figure.querySelector(".drawing");
  const svg = drawing.querySelector("svg");
  const read = figure.querySelector(".read");
  const count = told.mean.length;
  if (!count) return;

  const day = new Intl.DateTimeFormat(told.language, {
    timeZone: told.zone, weekday: "short", day: "numeric", month: "long", year: "numeric",
  });
  const clock = new Intl.DateTimeFormat(told.language, {
    timeZone: told.zone, hour: told.twelve ? "numeric" : "2-digit", minute: "2-digit", hourCycle: told.twelve ? "h12" : "h23",
  });
  const number = new Intl.NumberFormat(told.language, {
    minimumFractionDigits: told.decimals, maximumFractionDigits: told.decimals,
  });
  const amount = (value) => number.format(value).replace("-", "−");

  const hair = document.createElementNS("http://www.w3.org/2000/svg", "line");
  hair.setAttribute("class", "hair");
  hair.setAttribute("y1", "22");
  hair.setAttribute("y2", "172");
  hair.setAttribute("visibility", "hidden");
  svg.append(hair);

  let at = -1;

  function show(column) {
    at = Math.min(Math.max(column, 0), count - 1);
    const x = `${(100 * (at + 0.5)) / count}%`;
    hair.setAttribute("x1", x);
    hair.setAttribute("x2", x);
    hair.setAttribute("visibility", "visible");
    const [begins, ends] = [at, at + 1].map((edge) => new Date(1000 * (told.edges?.[edge] ?? told.begins + edge * told.width)));
    const when = told.width < 86400
      ? `${day.format(begins)}, ${clock.format(begins)}–${clock.format(ends)}`
      : day.format(begins);
    const value = told.mean[at];
    const words = [];
    if (value !== null) {
      words.push(`${amount(value)} ${told.unit}`);
      if (told.low && told.low[at] !== null && told.low[at] !== told.high[at]) {
        words.push(`(${amount(told.low[at])} … ${amount(told.high[at])})`);
      }
    } else {
      words.push("–");
    }
    const strong = document.createElement("strong");
    strong.textContent = words.join(" ");
    read.replaceChildren(`${when}: `, strong);
    if (told.doubted[at]) {
      const doubted = document.createElement("span");
      doubted.className = "doubted";
      doubted.textContent = ` ${told.doubted[at]} ${figure.dataset.doubted}`;
      read.append(doubted);
    }
    drawing.setAttribute("aria-valuenow", at + 1);
    drawing.setAttribute("aria-valuetext", read.textContent);
  }

  drawing.tabIndex = 0;
  drawing.setAttribute("role", "slider");
  drawing.setAttribute("aria-label", svg.getAttribute("aria-label"));
  drawing.setAttribute("aria-valuemin", 1);
  drawing.setAttribute("aria-valuemax", count);
  drawing.setAttribute("aria-valuenow", count);
  read.hidden = false;
  for (const one of figure.querySelectorAll(".only-script")) one.hidden = false;

  function pointed(event) {
    const box = svg.getBoundingClientRect();
    show(Math.floor(((event.clientX - box.left) / box.width) * count));
  }
  drawing.addEventListener("pointermove", pointed);
  drawing.addEventListener("pointerdown", pointed);
  drawing.addEventListener("focus", () => { if (at < 0) show(count - 1); });
  drawing.addEventListener("keydown", (event) => {
    const steps = { ArrowLeft: -1, ArrowRight: 1, PageUp: Math.ceil(count / 12), PageDown: -Math.ceil(count / 12) };
    if (event.key in steps) show((at < 0 ? count - 1 : at) + steps[event.key]);
    else if (event.key === "Home") show(0);
    else if (event.key === "End") show(count - 1);
    else return;
    event.preventDefault();
  });
})();
