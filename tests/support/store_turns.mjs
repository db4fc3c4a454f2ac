// The page's store with a slow program behind it: what is asked, to which basket, in which order. Prints JSON.
import { pathToFileURL } from "node:url";

const asked = [];
globalThis.localStorage = { getItem: () => "key", setItem() {} };
globalThis.history = { replaceState() {} };
globalThis.location = { hash: "", pathname: "/" };
let revision = 0;
const slow = (ms) => new Promise((done) => setTimeout(done, ms));

function shown(id, title) {
  const state = { id, revision: ++revision, title, document: { basket: { title } }, notes: [], look: null };
  const text = new TextEncoder().encode(JSON.stringify(state));
  const raw = new Uint8Array(4 + text.length);
  new DataView(raw.buffer).setUint32(0, text.length, true);
  raw.set(text, 4);
  return { ok: true, arrayBuffer: async () => raw.buffer };
}

globalThis.fetch = async (address, { body } = {}) => {
  const path = address.replace("/api/", "").split("?")[0];
  if (path.endsWith("events")) return new Promise(() => {});
  if (path.startsWith("tables")) return { ok: true, json: async () => ({}) };
  const said = body ? JSON.parse(body) : {};
  if (path === "open") {
    await slow(60); // opening takes longer than to type a word and press Enter
    return shown(said.id, said.id);
  }
  const id = path.split("/")[1];
  asked.push([id, said.changes[0].to]);
  await slow(5);
  return shown(id, said.changes[0].to);
};

const { Store } = await import(pathToFileURL(process.argv[2]).href);
const store = new Store();
const opening = [];
store.addEventListener("opening", ({ detail }) => opening.push(detail));
const title = (to) => store.change([{ set: ["basket", "title"], to }], "title");
await store.open({ id: "first" });
const before = title("said before");
const open = store.open({ id: "second" });
const during = title("said meanwhile");
const shownMeanwhile = store.id;
await Promise.all([before, open, during]);
const failed = await store.open({ id: "third" }).then(() => title("said after"));
process.stdout.write(JSON.stringify({ asked, shown: store.id, title: store.state.title, shownMeanwhile, opening, failed }));
process.exit(0);
