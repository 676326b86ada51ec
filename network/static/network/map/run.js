// Two days of maps: read once, then mixed for any frame without asking the server again.

import { WORDS } from "./words.js";

const TYPES = { float32: Float32Array, int16: Int16Array, uint8: Uint8Array };

export async function fetchRun(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(WORDS.failed.replace("{status}", answer.status));
  return new Run(await answer.arrayBuffer());
}

export class Run {
  constructor(buffer) {
    const length = new DataView(buffer).getUint32(0, true);
    this.head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length)));
    this.arrays = {};
    let at = 4 + length;
    for (const { name, type, shape } of this.head.arrays) {
      const count = shape.reduce((product, side) => product * side, 1);
      this.arrays[name] = new TYPES[type](buffer, at, count);
      at += Math.ceil(this.arrays[name].byteLength / 4) * 4;
    }
    const { rows, columns } = this.head.grid;
    this.cells = rows * columns;
    for (const layer of this.head.layers) addUp(this.arrays[`${layer}.pictures`], columns);
    this.fields = Object.fromEntries(
      [...this.head.layers, "value", "error", "fallen"].map((name) => [name, new Float32Array(this.cells)]),
    );
  }

  timeOf(frame) {
    const { first, step } = this.head.frames;
    return first + frame * step;
  }

  frameOf(seconds) {
    const { first, step, count } = this.head.frames;
    return Math.min(Math.max(Math.round((seconds - first) / step), 0), count - 1);
  }

  caption(frame) {
    return this.head.captions[this.arrays.caption[frame]];
  }

  // The fields of one frame, in arrays that the next frame overwrites; null where there is no map.
  fieldsAt(frame) {
    if (!this.head.layers.length || Number.isNaN(this.arrays.step[frame])) return null;
    for (const layer of this.head.layers) this.mix(layer, frame);
    if ("chance" in this.fields) fallen(this.fields, this.arrays.root[frame], this.head.scale.factor);
    else if ("estimate" in this.fields) this.fields.value = this.fields.estimate;
    return this.fields;
  }

  mix(layer, frame) {
    const { [`${layer}.pictures`]: pictures, [`${layer}.shares`]: shares, [`${layer}.level`]: level } = this.arrays;
    const { count } = this.head.frames;
    const field = this.fields[layer].fill(level[frame]);
    for (let picture = 0; picture * this.cells < pictures.length; picture++) {
      const share = shares[picture * count + frame];
      if (share === 0) continue;
      const begin = picture * this.cells;
      for (let cell = 0; cell < this.cells; cell++) field[cell] += share * pictures[begin + cell];
    }
  }

  // What is mixed of the wind [m/s], as the reader has it.
  shown(speed) {
    const { factor, forces } = this.head.scale;
    return forces ? forces.filter((begins) => begins <= speed + 0.05).length : factor * speed;
  }

  // A field at a place of the picture (x to the east and y to the south, from 0 to 1), between its cells.
  at(field, x, y) {
    const { rows, columns } = this.head.grid;
    const column = Math.min(Math.max(x, 0), 1) * (columns - 1);
    const row = (1 - Math.min(Math.max(y, 0), 1)) * (rows - 1);
    const west = Math.min(Math.floor(column), columns - 2);
    const south = Math.min(Math.floor(row), rows - 2);
    const along = column - west;
    const up = row - south;
    const corner = south * columns + west;
    return (1 - up) * ((1 - along) * field[corner] + along * field[corner + 1])
      + up * ((1 - along) * field[corner + columns] + along * field[corner + columns + 1]);
  }
}

// Pictures come as steps from each cell's western neighbour; sums wrap around in 16 bits, as they did there.
function addUp(pictures, columns) {
  for (let cell = 0; cell < pictures.length; cell++) {
    if (cell % columns) pictures[cell] += pictures[cell - 1];
  }
}

// Rain [mm in `fallen`, the reader's unit in `value`] and its error from the chance of any, and from the Gaussian root of what falls if any does: as the server's
// network.spatial.rain has it. Nothing falls wherever dry is the likelier.
function fallen({ chance, middle, spread, fallen, value, error }, root, factor) {
  for (let cell = 0; cell < value.length; cell++) {
    const [mean, variance] = moments(middle[cell], spread[cell], root);
    const wet = chance[cell];
    fallen[cell] = wet >= 0.5 ? mean : 0;
    value[cell] = factor * fallen[cell];
    error[cell] = factor * Math.sqrt(Math.max(wet * (variance + (1 - wet) * mean * mean), 0));
  }
}

function moments(middle, spread, root) {
  if (root === 1) return [Math.max(middle, 0), spread * spread];
  const ratio = middle / spread;
  const means = [normal(ratio)];
  means.push(middle * means[0] + spread * Math.exp(-ratio * ratio / 2) / Math.sqrt(2 * Math.PI));
  for (let order = 1; order < 2 * root; order++) {
    means.push(middle * means[order] + order * spread * spread * means[order - 1]);
  }
  return [means[root], Math.max(means[2 * root] - means[root] ** 2, 0)];
}

// The normal distribution to seven figures: Abramowitz and Stegun (1964), 26.2.17 (from memory).
function normal(z) {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const series = t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const above = Math.exp(-z * z / 2) / Math.sqrt(2 * Math.PI) * series;
  return z > 0 ? 1 - above : above;
}
