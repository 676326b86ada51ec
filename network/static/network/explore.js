// Turns a server-drawn chart into one to explore. The library is large, so it comes only when somebody asks.
(() => {
  const { library: address, trouble } = document.currentScript.dataset;
  let library;

  // The library would add styles for maps of tiles, which the hub has none of and its Content-Security-Policy
  // refuses. It does not where an element bears their name, which belongs to the library's version.
  const TILES_STYLE = "9f215cf04c5486422605d13261cb87401f4e7763b6296af81e98efbc0130da53";

  function fetched() {
    library ??= new Promise((done, failed) => {
      const script = document.createElement("script");
      script.id = TILES_STYLE;
      script.src = address;
      script.onload = () => done(window.Plotly);
      script.onerror = () => failed(new Error("The chart library did not come."));
      document.head.append(script);
    });
    return library;
  }

  // Figures come in the colours of the day theme: put the reader's own in their place.
  const DAY = {
    "--paper": "#fbfaf6", "--hairline": "#d9d5c9", "--ink": "#1d2127",
    "--pale": "#5c6068", "--iron": "#274b7a", "--ochre": "#8a5200", "--tint": "#4a6d86",
    "--se-4": "#395e92", "--se-2": "#98a9c4", "--se2": "#cba26d",
  };

  function inTheme(text) {
    const tokens = getComputedStyle(document.documentElement);
    for (const [token, colour] of Object.entries(DAY)) {
      text = text.replaceAll(colour, tokens.getPropertyValue(token).trim() || colour);
    }
    return JSON.parse(text);
  }

  async function explore(button) {
    const figure = button.closest("figure");
    button.disabled = true;
    try {
      const [plotly, answer] = await Promise.all([fetched(), fetch(button.dataset.figure)]);
      if (!answer.ok) throw new Error(`The figures did not come (${answer.status}).`);
      const { data, layout } = inTheme(await answer.text());
      const place = document.createElement("div");
      place.className = "interactive";
      figure.querySelector(".drawing").replaceChildren(place);
      await plotly.newPlot(place, data, layout, { displayModeBar: false, responsive: true });
      place.tabIndex = -1;
      if (!("atOnce" in button.dataset)) place.focus();
      button.hidden = true;
    } catch (error) {
      library = undefined;
      button.disabled = false;
      button.textContent = trouble ?? `${error.message} Try again.`;
    }
  }

  for (const button of document.querySelectorAll(".explore")) {
    button.hidden = false;
    button.addEventListener("click", () => explore(button));
    if ("atOnce" in button.dataset) explore(button);
  }
})();
