// Takes what is packed out of an exported guide: a script, a style and the module, packed as one,
// since the three have much in common. The policy of the page names the script by its hash.

import { expanding } from "./expand.js";

// Two letters of 91 hold 13 bits; see crates/export/src/packed.rs.
function unpacked({ textContent: letters, dataset }) {
  const bytes = new Uint8Array(dataset.size);
  const digit = (at) => {
    const code = letters.charCodeAt(at);
    return code - 33 - (code > 38) - (code > 60) - (code > 92);
  };
  let held = 0;
  let count = 0;
  let done = 0;
  for (let at = 0; at < letters.length; at += 2) {
    held |= (digit(at) + 91 * digit(at + 1)) << count;
    for (count += 13; count > 7; count -= 8) {
      bytes[done++] = held;
      held >>= 8;
    }
  }
  return bytes;
}

/** How long the page may stand still at a stretch, in milliseconds. */
const LONG = 8;

/** Gives what was packed: two numbers of four bytes, the script, the style, the module. */
async function unpackedFiles() {
  const bytes = unpacked(document.getElementById("cueleaf-packed"));
  const number = ({ buffer }, at) => new DataView(buffer).getUint32(at);
  const steps = expanding(bytes.slice(4), number(bytes, 0));
  let step = {};
  for (let since = performance.now(); !step.done; step = steps.next()) {
    if (performance.now() - since < LONG) continue;
    await new Promise((done) => setTimeout(done));
    since = performance.now();
  }
  const files = step.value;
  const script = 8 + number(files, 0);
  const style = script + number(files, 4);
  const text = (from, to) => new TextDecoder().decode(files.slice(from, to));
  return [text(8, script), text(script, style), files.slice(style)];
}

async function start() {
  const [script, style, module] = await unpackedFiles();
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(style);
  document.adoptedStyleSheets = [sheet];
  window.cueleafModule = module;
  const element = document.createElement("script");
  element.textContent = script;
  document.body.append(element);
  // A page that is saved while it lives must not find it there when it is opened again.
  element.remove();
}

// After the text was drawn: it can be read before it comes to life.
if ("WebAssembly" in window) {
  setTimeout(() => {
    start().catch((error) => {
      console.error(error);
      document.getElementById("trouble").hidden = false;
    });
  });
}
