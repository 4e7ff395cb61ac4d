// Brings an exported guide to life: takes the module out of the page and starts it.
// Where a step is impossible the page stays what it is without scripts.
import init, { start } from "cueleaf-glue";

async function inlinedModule(element) {
  const bytes = Uint8Array.from(atob(element.textContent), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Response(stream).arrayBuffer();
}

async function begin() {
  await init({ module_or_path: await inlinedModule(document.getElementById("cueleaf-wasm")) });
  start();
}

begin().catch((error) => console.error(error));
