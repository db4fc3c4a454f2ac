/** Asking the program: every request carries the key of this run, which came with the address. */

const KEEP = "slype-key";

/** What the program said no to, or "offline" where it does not answer. */
export class Refused extends Error {
  /** @param {number} status @param {import("./contract.js").Trouble} trouble */
  constructor(status, trouble) {
    super(trouble.message);
    this.status = status;
    this.trouble = trouble;
  }
  get offline() {
    return this.status === 0;
  }
  get stale() {
    return this.status === 401;
  }
}

/** Take key and basket from the part of the address after "#", and take the key out of sight. */
export function fromAddress() {
  const words = new URLSearchParams(location.hash.slice(1));
  const key = words.get("key");
  if (key) localStorage.setItem(KEEP, key);
  words.delete("key");
  const basket = words.get("basket");
  history.replaceState(null, "", basket ? `#basket=${basket}` : location.pathname);
  return basket;
}

/**
 * The program was started anew and its address pasted over this page's: only what stands after "#" is another, so the
 * browser loads nothing. The new key is kept, and what waited goes on with it.
 * @param {(basket: string | null) => void} then
 */
export function onNewKey(then) {
  addEventListener("hashchange", () => {
    if (new URLSearchParams(location.hash.slice(1)).get("key")) then(fromAddress());
  });
}

async function send(method, path, body) {
  const headers = { "X-Slype-Key": localStorage.getItem(KEEP) ?? "" };
  if (body !== undefined) headers["Content-Type"] = "application/json";
  let answer;
  try {
    answer = await fetch(`/api/${path}`, { method, headers, body: body === undefined ? undefined : JSON.stringify(body) });
  } catch {
    throw new Refused(0, { message: "The studio's program does not answer.", where: "", remedy: "Start it again as you did before." });
  }
  if (!answer.ok) {
    let trouble = { message: `The studio's program stumbled (${answer.status}).`, where: "", remedy: "" };
    try {
      trouble = await answer.json();
    } catch {}
    throw new Refused(answer.status, trouble);
  }
  return answer;
}

/** @returns {Promise<any>} */
export const ask = async (method, path, body) => (await send(method, path, body)).json();

/**
 * Ask for the state of a basket and, where that is not what the page has, its solid: the state's length, the state, the
 * solid's bytes or none.
 * @param {string} have id, revision and form of the solid on show
 * @returns {Promise<{state: import("./contract.js").State, solid: ArrayBuffer | null}>}
 */
export async function askShown(method, path, body, have) {
  const raw = await (await send(method, `${path}?have=${encodeURIComponent(have)}`, body)).arrayBuffer();
  const size = new DataView(raw).getUint32(0, true);
  const state = JSON.parse(new TextDecoder().decode(new Uint8Array(raw, 4, size)));
  return { state, solid: raw.byteLength > 4 + size ? raw.slice(4 + size) : null };
}

/** @returns {Promise<ArrayBuffer>} */
export const bytes = async (path) => (await send("GET", path)).arrayBuffer();

/** @returns {Promise<{blob: Blob, name: string}>} */
export async function file(path) {
  const answer = await send("GET", path);
  const named = /filename\*=UTF-8''([^;]+)/.exec(answer.headers.get("content-disposition") ?? "");
  return { blob: await answer.blob(), name: named ? decodeURIComponent(named[1]) : "basket" };
}

/** Hear news of a basket, line by line, until `stop` is aborted; ends when the program goes away. */
export async function news(basket, onNews, stop) {
  const answer = await fetch(`/api/baskets/${basket}/events`, {
    headers: { "X-Slype-Key": localStorage.getItem(KEEP) ?? "" },
    signal: stop,
  });
  if (!answer.ok) throw new Refused(answer.status, { message: "no news", where: "", remedy: "" });
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    const lines = (rest + value).split("\n");
    rest = lines.pop() ?? "";
    for (const line of lines) if (line) onNews(JSON.parse(line));
  }
}

/** Hand a file to the browser to keep. */
export function handOver({ blob, name }) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 30_000);
}
