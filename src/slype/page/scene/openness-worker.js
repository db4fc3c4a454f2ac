/**
 * Reckons openness beside the page, so that a changed basket need not wait for its light. See light.js.
 */

import { opennessOf } from "./openness.js";

addEventListener("message", ({ data: { number, solid } }) => {
  const openness = opennessOf(solid);
  postMessage({ number, openness }, { transfer: [openness.buffer] });
});
