// Starts the builder: from the module inside the page where there is one (the one-file form),
// else from builder.wasm beside it.
import init, { start } from "cueleaf-glue";

async function moduleBytes() {
  const element = document.getElementById("cueleaf-wasm");
  if (element === null) return (await fetch("builder.wasm")).arrayBuffer();
  const bytes = Uint8Array.from(atob(element.textContent), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Response(stream).arrayBuffer();
}

async function begin() {
  await init({ module_or_path: await moduleBytes() });
  start();
}

// Later visits to the served page need no network.
if (document.getElementById("cueleaf-wasm") === null) {
  navigator.serviceWorker?.register("sw.js").catch(() => {});
}

// A browser that is too old, or a file that was cut short: say so where the page would be.
begin().catch((error) => {
  console.error(error);
  const place = document.getElementById("app");
  place.textContent =
    "This page could not start. It needs a browser from 2023 or later; if yours is, the file may be damaged: load it again.";
});
