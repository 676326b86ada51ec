// Isolines of a grid by marching squares, joined into lines, cut into what is known and what is a guess.

// The lines on which a field (rows from the south, row by row) equals a level: arrays of [column, row], not rounded.
export function isolines(field, rows, columns, level) {
  const ends = crossings(field, rows, columns, level);
  const lines = [];
  const begin = (edge) => {
    const line = [point(field, columns, level, edge)];
    let [from, to] = [edge, take(ends, edge)];
    while (to !== undefined) {
      line.push(point(field, columns, level, to));
      forget(ends, to, from);
      [from, to] = [to, take(ends, to)];
    }
    lines.push(line);
  };
  for (const [edge, others] of ends) if (others.length === 1) begin(edge); // those that end at the picture's edge
  for (const [edge, others] of ends) if (others.length) begin(edge); // rings
  return lines;
}

// Which edges of the grid the lines cross, and to which others each leads through a square. An edge is twice the
// cell it begins at, and one more if it goes north from there.
function crossings(field, rows, columns, level) {
  const ends = new Map();
  const join = (one, other) => {
    for (const [from, to] of [[one, other], [other, one]]) {
      const known = ends.get(from);
      if (known) known.push(to);
      else ends.set(from, [to]);
    }
  };
  for (let row = 0; row < rows - 1; row++) {
    for (let column = 0; column < columns - 1; column++) {
      const cell = row * columns + column;
      const sw = field[cell] >= level;
      const se = field[cell + 1] >= level;
      const nw = field[cell + columns] >= level;
      const ne = field[cell + columns + 1] >= level;
      if (sw === se && sw === nw && sw === ne) continue;
      const south = 2 * cell, north = 2 * (cell + columns), west = 2 * cell + 1, east = 2 * (cell + 1) + 1;
      if (sw === ne && se === nw) { // a saddle: its middle says which corners belong together
        const middle = (field[cell] + field[cell + 1] + field[cell + columns] + field[cell + columns + 1]) / 4;
        if ((middle >= level) === sw) join(south, east), join(west, north);
        else join(south, west), join(east, north);
        continue;
      }
      const met = [];
      if (sw !== se) met.push(south);
      if (se !== ne) met.push(east);
      if (nw !== ne) met.push(north);
      if (sw !== nw) met.push(west);
      join(met[0], met[1]);
    }
  }
  return ends;
}

function take(ends, edge) {
  const others = ends.get(edge);
  return others?.shift();
}

function forget(ends, edge, other) {
  const others = ends.get(edge);
  const at = others.indexOf(other);
  if (at >= 0) others.splice(at, 1);
}

function point(field, columns, level, edge) {
  const cell = edge >> 1;
  const next = edge & 1 ? cell + columns : cell + 1;
  const share = (level - field[cell]) / (field[next] - field[cell]);
  const column = cell % columns;
  const row = Math.floor(cell / columns);
  return edge & 1 ? [column, row + share] : [column + share, row];
}

// The multiples of a step that a field crosses.
export function levels(field, step) {
  let low = Infinity, high = -Infinity;
  for (const value of field) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const first = Math.ceil(low / step - 1e-6), last = Math.floor(high / step + 1e-6);
  return Array.from({ length: Math.max(last - first + 1, 0) }, (_, i) => (first + i) * step);
}

// A line cut where it changes between sure and unsure; neighbouring pieces share a point.
export function pieces(line, unsure) {
  const cut = [];
  for (let i = 0; i < line.length; i++) {
    const doubt = unsure(line[i]);
    const last = cut.at(-1);
    if (last && last.doubt === doubt) last.points.push(line[i]);
    else {
      if (last) last.points.push(line[i]);
      cut.push({ doubt, points: [line[i]] });
    }
  }
  return cut;
}
