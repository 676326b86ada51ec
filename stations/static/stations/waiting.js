// Asks every few seconds whether anything new has come in, and loads the page again when it has.
const waiting = document.getElementById("waiting");

async function ask() {
  try {
    const answer = await fetch(waiting.dataset.ask, { headers: { Accept: "application/json" } });
    if (answer.ok && (await answer.json()).state !== waiting.dataset.state) location.reload();
  } catch {
    // The network is away for a moment: the next time will tell.
  }
}

setInterval(ask, 4000);
