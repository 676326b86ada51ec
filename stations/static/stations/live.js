// Works out anew what an answer comes to while somebody gives it: the form is sent as it is, and the reply is shown.
const form = document.querySelector("form[data-live]");
const shown = document.getElementById(form.dataset.live);
let waiting;
let asked = 0;

async function work() {
  const said = new FormData(form);
  said.set("preview", "1");
  const turn = ++asked;
  try {
    const answer = await fetch(location.href, { method: "POST", body: said });
    if (answer.status === 200 && turn === asked) shown.innerHTML = await answer.text();
  } catch {
    // The network is away: what stands there stays, and the button still keeps the answer.
  }
}

form.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(work, 350);
});
