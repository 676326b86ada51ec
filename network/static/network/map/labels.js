// On which side of its mark a station's words stand, so that they cover neither arrow, mark nor words.
// The server does the same for its picture in network/web/map_labels.py.

const SIDES = ["", "left", "over", "under"]; // the best first; "" is the right
const [LETTER, DIGIT] = [6.4, 9.5]; // widths of a letter of a name, of a digit of a figure
const EDGE = 100;

// The rooms that marks with their arrows and words take, for whoever comes after.
export class Room {
  constructor({ width, height }) {
    Object.assign(this, { width, height, taken: [] });
  }

  mark({ x, y, shaft }) {
    const spots = [[x, y]];
    if (shaft) {
      const [[ax, ay], [bx, by]] = shaft;
      for (const share of [0.25, 0.5, 0.75, 1]) spots.push([ax + share * (bx - ax), ay + share * (by - ay)]);
    }
    for (const [a, b] of spots) this.taken.push([a - 5, b - 5, a + 5, b + 5]);
  }

  // The first side that covers least, and nothing beyond the edge while there is another.
  side(label) {
    const costs = SIDES.map((side) => this.cost(words(label, side)));
    const best = SIDES[costs.indexOf(Math.min(...costs))];
    this.taken.push(words(label, best));
    return best;
  }

  cost([left, top, right, bottom]) {
    const covered = this.taken.filter(([a, b, c, d]) => left < c && a < right && top < d && b < bottom).length;
    return covered + (left >= 0 && top >= 0 && right <= this.width && bottom <= this.height ? 0 : EDGE);
  }
}

function words({ x, y, name = "", figure }, side) {
  const wide = Math.max(LETTER * name.length, DIGIT * figure.length);
  const left = { "": x + 10, left: x - 10 - wide }[side] ?? x - wide / 2;
  const top = { over: y - 38, under: y + 9 }[side] ?? y - 14;
  return [left, top, left + wide, top + 29];
}

// Where a figure, the name beneath it, and a figure alone stand from their mark.
const ACROSS = { value: 11, name: 11, alone: 16 };
const DOWN = {
  value: { over: "-23", under: "22", beside: "-0.1em" },
  name: { over: "-10", under: "34", beside: "1em" },
  alone: { over: "-16", under: "28", beside: "0.35em" },
};

export function put(text, kind, side) {
  text.setAttribute("dx", { "": ACROSS[kind], left: -ACROSS[kind] }[side] ?? 0);
  text.setAttribute("dy", DOWN[kind][side] ?? DOWN[kind].beside);
  text.setAttribute("class", `${kind} ${side}`.trim());
}
