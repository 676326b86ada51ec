// What the map's script says by itself, as the page gives it: in the reader's language.

export const WORDS = JSON.parse(document.getElementById("map-words")?.textContent ?? "{}");
