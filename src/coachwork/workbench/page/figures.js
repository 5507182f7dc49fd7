// Numbers as they are written. What rounds to zero has no minus before it. No library here, so that it can be tested by
// itself.

export function fixed(value, decimals) {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `-${text}` : text;
}

// With the plus, too.
export function signed(value, decimals = 1) {
  const text = fixed(value, decimals);
  return text.startsWith("-") ? text : `+${text}`;
}

// With three figures at most, and a minus as wide as a figure.
export function plain(value) {
  const size = Math.abs(value);
  const text = fixed(value, size >= 99.5 || Number.isInteger(value) ? 0 : size >= 9.95 ? 1 : 2).replace("-", "\u2212");
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
}

// Read off an axis this long: no finer than an eye tells apart.
export function readOff(value, span) {
  const step = 10 ** Math.floor(Math.log10(span / 500));
  const text = fixed(Math.round(value / step) * step, Math.max(0, Math.round(-Math.log10(step))));
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
}
