// Pointer, wheel and keys on the drawing: turn, move, magnify, pick, and point at what is coloured.

export function hands(viewer, canvas) {
  const held = new Map();
  let moved = 0;
  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    held.set(event.pointerId, event);
    moved = 0;
  });
  canvas.addEventListener("pointermove", (event) => {
    const before = held.get(event.pointerId);
    if (!before) return void viewer.pointed(event.offsetX, event.offsetY, false);
    const [dx, dy] = [event.clientX - before.clientX, event.clientY - before.clientY];
    moved += Math.abs(dx) + Math.abs(dy);
    if (held.size === 2) {
      const other = [...held.values()].find((one) => one.pointerId !== event.pointerId);
      const apart = (one) => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY);
      viewer.magnify(apart(event) / Math.max(apart(before), 1));
    } else if (event.buttons === 2 || event.shiftKey) viewer.pan(dx, dy);
    else viewer.orbit(dx, dy);
    held.set(event.pointerId, event);
  });
  const up = (event) => {
    held.delete(event.pointerId);
    if (event.type !== "pointerup" || moved >= 5) return;
    viewer.pointed(event.offsetX, event.offsetY, true);
    viewer.picked(viewer.pick(event.offsetX, event.offsetY));
  };
  canvas.addEventListener("pointerup", up);
  canvas.addEventListener("pointercancel", up);
  canvas.addEventListener("pointerleave", () => held.size || viewer.pointed(null));
  canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  canvas.addEventListener("wheel", (event) => {
    event.preventDefault();
    viewer.magnify(Math.exp(-event.deltaY * 0.0012));
  }, { passive: false });
  canvas.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-12, 0], ArrowRight: [12, 0], ArrowUp: [0, -12], ArrowDown: [0, 12] }[event.key];
    if (event.ctrlKey || event.metaKey) return;
    if (way && event.altKey) viewer.stepped(...way);
    else if (way) event.shiftKey ? viewer.pan(...way) : viewer.orbit(...way);
    else if (event.key === "+" || event.key === "=") viewer.magnify(1.2);
    else if (event.key === "-") viewer.magnify(1 / 1.2);
    else if (event.key === "0") viewer.frame();
    else if (event.key.toLowerCase() === "p") viewer.sought();
    else return;
    event.preventDefault();
  });
}
