/** Words of the trade in the page's own sentences: the program's, in the wording of the basket on show. */

/** A sentence with {colour}, {spokes}, {Border} and so on filled in. @param {import("./store.js").Store} store */
export function say(store, text) {
  const terms = store.tables?.words ?? {};
  return text.replace(/\{(\w+)\}/g, (all, word) => terms[word] ?? large(terms[word.toLowerCase()]) ?? word);
}

const large = (word) => word && word[0].toUpperCase() + word.slice(1);
