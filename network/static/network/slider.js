// The map's time slider: fetches the server's picture of the chosen ten minutes and puts it in place of the old one.
"use strict";

const form = document.querySelector("form[data-map]");

if (form) {
  const slider = form.elements.at;
  const sheet = document.querySelector(".sheet");
  const title = document.querySelector("figcaption .title");
  const doubt = document.querySelector("figcaption .doubt");
  const halves = form.dataset.hours === "12";
  const clock = new Intl.DateTimeFormat(document.documentElement.lang, {
    hour: halves ? "numeric" : "2-digit", minute: "2-digit", hourCycle: halves ? "h12" : "h23", weekday: "short",
    timeZone: form.dataset.zone,
  });
  let wanted = null;
  let busy = false;

  form.querySelector("button").hidden = true;

  slider.addEventListener("input", () => {
    const time = clock.format(new Date(slider.value * 1000));
    form.querySelector("output").value = time;
    slider.setAttribute("aria-valuetext", time);
    wanted = slider.value;
    show();
  });

  // One picture at a time; while it is on its way only the last wish is remembered.
  async function show() {
    if (busy || wanted === null) return;
    busy = true;
    const query = new URLSearchParams({ variable: form.elements.variable.value, at: wanted });
    wanted = null;
    try {
      const answer = await fetch(`${form.dataset.map}?${query}`);
      if (answer.ok) {
        const picture = new DOMParser().parseFromString(await answer.text(), "image/svg+xml");
        sheet.replaceChildren(document.importNode(picture.documentElement, true));
        title.textContent = sheet.querySelector("title").textContent;
        doubt.textContent = sheet.querySelector("desc").textContent;
      }
    } finally {
      busy = false;
      show();
    }
  }
}
