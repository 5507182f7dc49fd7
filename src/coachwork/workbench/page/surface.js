// A surface with numbers at its corners, as it comes from the server.

// Counts of corners, triangles and rows of values, then each of them.
export function surfaceOf(raw) {
  const [corners, triangles, rows] = new Uint32Array(raw, 0, 3);
  const faces = 12 + 12 * corners;
  const values = faces + 12 * triangles;
  return {
    vertices: new Float32Array(raw, 12, 3 * corners), faces: new Uint32Array(raw, faces, 3 * triangles),
    rows: Array.from({ length: rows }, (_, i) => new Float32Array(raw, values + 4 * corners * i, corners)),
  };
}

export async function fetchSurface(path) {
  const answer = await fetch(path);
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return surfaceOf(await answer.arrayBuffer());
}
