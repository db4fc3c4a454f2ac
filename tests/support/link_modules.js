// Reads {path: text} of modules from standard input and links them, running none: every module is parsed, every import
// finds its module, every name that is imported is exported there. Prints one line for each that fails.
const vm = require("node:vm");
const path = require("node:path");

const texts = JSON.parse(require("node:fs").readFileSync(0, "utf-8"));

function linkedAlone(start) {
  const made = new Map();
  const parsed = (name) => {
    if (!made.has(name)) {
      if (!(name in texts)) throw new Error(`there is no ${name}`);
      made.set(name, new vm.SourceTextModule(texts[name], { identifier: name }));
    }
    return made.get(name);
  };
  return parsed(start).link((asked, from) => parsed(path.posix.join(path.posix.dirname(from.identifier), asked)));
}

(async () => {
  for (const name of Object.keys(texts)) {
    try {
      await linkedAlone(name);
    } catch (trouble) {
      console.log(`${name}: ${trouble.message}`);
    }
  }
})();
