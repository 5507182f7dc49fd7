// Numbers to colours. Room: orange where it is less than is wanted, blue where there is more, told apart by every kind
// of eye; the two colours change sharply at touching and at the gap that is wanted. Stress: dark blue to yellow, evenly
// rising in lightness (cividis, Nunez and others 2018, made for eyes that do not tell red from green).
// No drawing library here, so that it can be tested by itself.

import { plain } from "./figures.js";

const CIVIDIS = ["#00224e", "#123570", "#3b496c", "#575d6d", "#707173", "#8a8678", "#a59c74", "#c3b369", "#e1cc55", "#fee838"];

// stops: [value, colour below it, colour above it], rising; each stretch between two is as long on the legend.
export function roomScale(gap, far) {
  const wanted = Math.max(gap, 0.1);
  const stops = [
    [-2, null, "#4d1400"], [0, "#a83200", "#e8791a"], [wanted, "#ffc27a", "#dbeaf4"], [Math.max(2, 2 * wanted), "#9cc7e3", "#9cc7e3"],
    [Math.max(5, 4 * wanted), "#4f93c6", "#4f93c6"], [Math.max(far, 6 * wanted), "#1d5a9b", null],
  ];
  return scaleOf(stops, "mm", (value) => (value < -2 ? "deeper than 2" : value > far ? `more than ${far}` : plain(value)));
}

export function stressScale(top) {
  const stops = CIVIDIS.map((colour, i) => [(top * i) / (CIVIDIS.length - 1), colour, colour]);
  return scaleOf(stops, "MPa", plain, 5);
}

function scaleOf(stops, unit, words, marks = stops.length) {
  const last = stops.length - 1;
  const place = (value) => { // 0 to 1 along the legend
    if (!(value > stops[0][0])) return Number.isNaN(value) ? 1 : 0;
    const above = stops.findIndex(([at]) => at >= value);
    if (above < 0) return 1;
    const [low, high] = [stops[above - 1][0], stops[above][0]];
    return (above - 1 + (value - low) / (high - low)) / last;
  };
  const colour = (share) => {
    const at = Math.min(last - 1e-9, Math.max(0, share * last));
    const i = Math.floor(at);
    return mixed(stops[i][2], stops[i + 1][1], at - i);
  };
  const every = (stops.length - 1) / (marks - 1);
  const ticks = Array.from({ length: marks }, (_, i) => {
    const at = i * every;
    const [low, high] = [stops[Math.floor(at)][0], stops[Math.min(last, Math.ceil(at))][0]];
    return { share: at / last, value: low + (at - Math.floor(at)) * (high - low) };
  });
  return { place, colour, ticks, unit, words, low: stops[0][0], high: stops[last][0] };
}

function mixed(one, other, share) {
  const part = (hex, i) => parseInt(hex.slice(1 + 2 * i, 3 + 2 * i), 16);
  return [0, 1, 2].map((i) => Math.round(part(one, i) + share * (part(other, i) - part(one, i))));
}

// What the legend ends with: the value that all but a hundredth stay under, rounded up to a plain number.
export function topOf(values) {
  const ordered = Float32Array.from(values).sort();
  const most = ordered[Math.min(ordered.length - 1, Math.floor(0.99 * ordered.length))] || 1e-6;
  const power = 10 ** Math.floor(Math.log10(most));
  return [1, 1.2, 1.6, 2, 2.4, 3.2, 4, 5, 6, 8, 10].map((one) => one * power).find((one) => one >= most * (1 - 1e-6));
}
