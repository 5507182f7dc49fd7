// A key of the build file as a label: what it is first, which table it stands in after it.

const PLAINLY = { prototype: "full-size vehicle", changes: "as changed" }; // tables whose name in the file says less to who begins

export function labelled(key) {
  const steps = key.split(".");
  const axis = ["x", "y", "z"].includes(steps.at(-1)) ? steps.pop() : null;
  const name = steps.pop().replaceAll("-", " ");
  const table = steps.filter((step) => step !== "hardpoints").map((step) => PLAINLY[step] ?? step).join(" / ").replaceAll("-", " ").replace("full size", "full-size");
  return { name: axis ? `${name}, ${axis}` : name, table };
}
