// A key of the build file as a label: what it is first, which table it stands in after it.

export function labelled(key) {
  const steps = key.split(".");
  const axis = ["x", "y", "z"].includes(steps.at(-1)) ? steps.pop() : null;
  const name = steps.pop().replaceAll("-", " ");
  const table = steps.filter((step) => step !== "hardpoints").join(" / ").replaceAll("-", " ");
  return { name: axis ? `${name}, ${axis}` : name, table };
}
