// The steward's desk by single keys: a number chooses the sentence that bears it, others follow what is marked
// with data-opens. A sentence with a blank is filled in first, and Enter in it shows what would change. Single keys
// can be switched off, for whoever speaks to the computer. Without this file the page works too.
const remembered = "desk keys off";
const off = () => localStorage.getItem(remembered) === "1";

for (const row of document.querySelectorAll("[data-keys-switch]")) {
  const box = row.querySelector("input");
  row.hidden = false;
  box.checked = !off();
  box.addEventListener("change", () => localStorage.setItem(remembered, box.checked ? "0" : "1"));
}

document.addEventListener("keydown", (event) => {
  if (off() || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.matches("input:not([type=radio], [type=checkbox]), select, textarea")) return;
  const key = CSS.escape(event.key);
  const radio = document.querySelector(`form[data-keys] [data-key="${key}"]`);
  const opens = document.querySelector(`[data-opens="${key}"]`);
  if (radio) {
    event.preventDefault();
    radio.checked = true;
    radio.form.scrollIntoView({ block: "nearest" });
    const blank = radio.closest(".choice").querySelector("input.number, select");
    (blank && !blank.value ? blank : radio.form.elements.reason).focus();
  } else if (opens) {
    event.preventDefault();
    opens.click();
  }
});

document.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || !event.target.matches(".choice input.number, .choice select")) return;
  event.preventDefault();
  event.target.form.requestSubmit(event.target.form.elements.look);
});
