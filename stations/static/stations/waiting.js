// Asks whether anything new has come in, soon at first and then ever more seldom, and shows it in its place.
const SOON = 3000, SELDOM = 60000;
let wait = SOON, timer = 0;

const live = () => [...document.querySelectorAll("[data-live]")];
const waiting = () => document.getElementById("waiting");

async function show() {
  const page = new DOMParser().parseFromString(await (await fetch(location.href)).text(), "text/html");
  if (!page.getElementById("waiting")) return location.reload(); // signed out meanwhile
  for (const part of live()) part.replaceWith(page.getElementById(part.id));
}

async function ask() {
  clearTimeout(timer);
  if (document.hidden) return; // the next look comes when somebody looks
  try {
    const answer = await fetch(waiting().dataset.ask, { headers: { Accept: "application/json" } });
    const { state } = await answer.json();
    const busy = live().some((part) => part.contains(document.activeElement)); // do not pull a button away
    if (state !== waiting().dataset.state && !busy) {
      await show();
      wait = SOON;
    } else {
      wait = busy ? SOON : Math.min(SELDOM, wait * 1.4);
    }
  } catch {
    wait = Math.min(SELDOM, wait * 2); // the network is away for a moment
  }
  timer = setTimeout(ask, wait * (0.8 + 0.4 * Math.random()));
}

document.addEventListener("visibilitychange", () => {
  wait = SOON;
  ask();
});
timer = setTimeout(ask, SOON);
