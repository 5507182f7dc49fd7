// Where words go on the drawing, so that none lie over others and none are cut off at its edge.
// No drawing library here, so that it can be tested by itself.

const ADVANCE = 6.9; // pixels a letter, at most, of the drawing's words
const BOLD = 7.6;
const HIGH = 15;
const APART = 13; // from the point that is told of

export class Labels {
  constructor(width, height) {
    Object.assign(this, { width, height, taken: [] });
  }

  // A dimension's words, which stay where a drawing has them: along the line, or in line with it over its upper end.
  take(words, [x, y], upright, over) {
    const long = ADVANCE * words.length;
    if (over) this.taken.push([x - HIGH / 2, y - long, x + HIGH / 2, y]);
    else if (upright) this.taken.push([x - 5 - HIGH, y - long / 2, x - 2, y + long / 2]);
    else this.taken.push([x - long / 2, y - 5 - HIGH, x + long / 2, y - 2]);
  }

  // Words beside a point: above or below, on the side with more room first, else across it as far as the edges let them;
  // the first place that is free.
  beside(x, y, words, bold = false) {
    const long = (bold ? BOLD : ADVANCE) * words.length;
    const sides = x > this.width / 2 ? ["end", "start"] : ["start", "end"];
    const downs = [-10, 20, -28, 38, -46, 56, -64, 74, -82, 92, -100];
    const at = (from, down, anchor) => ({ anchor, at: anchor === "end" ? from + long : from, down, box: [from, y + down - HIGH + 3, from + long, y + down + 4] });
    const across = Math.max(2, Math.min(x - long / 2, this.width - 2 - long));
    const places = [
      ...downs.flatMap((down) => sides.map((anchor) => at(anchor === "start" ? x + APART : x - APART - long, down, anchor))),
      ...downs.slice(1).map((down) => at(across, down, "start")),
    ];
    const inside = ({ box }) => box[0] >= 2 && box[2] <= this.width - 2 && box[1] >= 0 && box[3] <= this.height;
    const free = ({ box }) => !this.taken.some((other) => box[0] < other[2] && other[0] < box[2] && box[1] < other[3] && other[1] < box[3]);
    const found = places.find((one) => inside(one) && free(one)) ?? places.find(inside) ?? places[0];
    this.taken.push(found.box);
    return { x: found.at, y: y + found.down, "text-anchor": found.anchor };
  }
}
