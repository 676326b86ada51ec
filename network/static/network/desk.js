// The steward's desk: a number key chooses the sentence that bears the number. Without this file the page works too.
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.matches("input:not([type=radio]), select, textarea")) return;
  const radio = document.querySelector(`form[data-keys] [data-key="${CSS.escape(event.key)}"]`);
  if (!radio) return;
  event.preventDefault();
  radio.checked = true;
  const form = radio.form;
  form.scrollIntoView({ block: "nearest" });
  form.elements.reason.focus();
});
