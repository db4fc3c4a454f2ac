/**
 * What the file carries packed: base64 of gzip in a script element that no browser runs. See lesson/packed.py.
 */

/** @param {string} id of the element @returns {Uint8Array} its bytes, still packed */
function packed(id) {
  const text = document.getElementById(id).textContent;
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  const letters = atob(text);
  const out = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; i++) out[i] = letters.charCodeAt(i);
  return out;
}

/** @param {string} id @returns {Promise<ArrayBuffer>} */
export async function bytesOf(id) {
  const stream = new Blob([packed(id)]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).arrayBuffer();
}

/** @param {string} id @returns {Promise<string>} */
export const textOf = async (id) => new TextDecoder().decode(await bytesOf(id));

/**
 * The basket in space as the scene takes it (see slype/page/scene/solid-file.js).
 * @param {ArrayBuffer} raw
 * @param {boolean} mirrored for the other hand
 */
export function solidOf(raw, mirrored) {
  const size = new DataView(raw).getUint32(0, true);
  const header = JSON.parse(new TextDecoder().decode(new Uint8Array(raw, 4, size)));
  const count = header.points;
  const all = new Uint8Array(raw, 4 + size);
  const column = (number) => {
    const out = new Uint16Array(count);
    const [low, high] = [2 * number * count, (2 * number + 1) * count];
    for (let i = 0, sum = 0; i < count; i++) out[i] = sum = (sum + all[low + i] + 256 * all[high + i]) & 65535;
    return out;
  };
  const points = new Float32Array(3 * count);
  for (let axis = 0; axis < 3; axis++) {
    const own = column(axis);
    const side = mirrored && axis === 0 ? -1 : 1;
    for (let i = 0; i < count; i++) points[3 * i + axis] = side * (header.low[axis] + header.step * own[i]);
  }
  const whole = column(3);
  const when = new Float32Array(count);
  for (let i = 0; i < count; i++) when[i] = whole[i] - 1 + all[8 * count + i] / header.shares;
  const apart = Object.fromEntries(
    Object.entries(header.apart).map(([name, each]) => [name, { ...each, at: [mirrored ? -each.at[0] : each.at[0], each.at[1], each.at[2]] }]),
  );
  return { ...header, apart, left: header.left !== mirrored, points, when };
}
