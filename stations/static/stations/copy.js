// A button under what is to be copied, where the browser lets a page copy.
for (const text of navigator.clipboard ? document.querySelectorAll(":is(code, pre).key") : []) {
  const button = document.createElement("button");
  const said = document.createElement("span");
  const row = document.createElement("p");
  button.type = "button";
  button.textContent = text.matches("pre") ? "Copy the line" : "Copy it";
  said.setAttribute("role", "status");
  row.className = "actions";
  row.append(button, said);
  text.after(row);
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(text.textContent.trim());
      said.textContent = "Copied.";
    } catch {
      said.textContent = "The browser does not allow it: mark the text and copy it.";
    }
  });
}
