// The files of a map are those of the time its slider shows, also after it was moved.

const slider = document.querySelector("input[type=range][name=at]");
for (const files of document.querySelectorAll(".take")) {
  const follow = () => {
    for (const link of files.querySelectorAll("a")) {
      const address = new URL(link.href);
      address.searchParams.set("at", slider.value);
      link.href = address;
    }
  };
  if (slider) for (const event of ["pointerover", "pointerdown", "focusin"]) files.addEventListener(event, follow);
}
