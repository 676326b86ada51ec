// Works the class out anew while somebody answers: the form is sent as it is, and what it comes to is shown.
const form = document.querySelector("form.answer");
const shown = document.getElementById("worked-out");
let waiting;
let asked = 0;

async function work() {
  const said = new FormData(form);
  said.set("preview", "1");
  const turn = ++asked;
  try {
    const answer = await fetch(form.action || location.href, { method: "POST", body: said });
    if (answer.status === 200 && turn === asked) shown.innerHTML = await answer.text();
  } catch {
    // The network is away: what stands there stays, and the button still keeps the answer.
  }
}

form.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(work, 350);
});
