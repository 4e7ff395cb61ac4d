// Takes what is packed out of an exported guide: a script, a style and the module, packed as one,
// since the three have much in common. The policy of the page names the script by its hash.

/* global UNPACKER, UNPACKER_SIZE -- the module of crates/unpacker, deflated, as letters, and how many
   bytes these hold: the build puts it here */

// Four digits of 108 hold 27 bits; see crates/pack/src/letters.rs.
function bytesOf(letters) {
  const bytes = [];
  let held = 0;
  let count = 0;
  let bits = 0;
  let worth = 1;
  const take = (digit) => {
    bits += digit * worth;
    worth *= 108;
    if (worth < 108 ** 4) return;
    // More than 32 bits: no shifts.
    held += bits * 2 ** count;
    for (count += 27; count > 7; count -= 8) {
      bytes.push(held % 256);
      held = Math.floor(held / 256);
    }
    bits = 0;
    worth = 1;
  };
  for (const letter of letters) {
    const code = letter.charCodeAt();
    if (code > 160) {
      take(91 + Math.floor((code - 161) / 108));
      take((code - 161) % 108);
    } else {
      take(code - 33 - (code > 38) - (code > 60) - (code > 92));
    }
  }
  return Uint8Array.from(bytes);
}

/** How long the page may stand still at a stretch, in milliseconds, and how many bytes are unpacked
    between two looks at the time. */
const LONG = 8;
const SLICE = 256;

/** Gives bytes as they were before they were packed. */
async function unpacked(unpacker, packed) {
  const { exports } = await WebAssembly.instantiate(unpacker);
  packed.forEach(exports.give);
  const bytes = [];
  let since = performance.now();
  for (let byte; (byte = exports.take()) >= 0; ) {
    bytes.push(byte);
    if (bytes.length % SLICE || performance.now() - since < LONG) continue;
    await new Promise((done) => setTimeout(done));
    since = performance.now();
  }
  return Uint8Array.from(bytes);
}

/** Gives the guide and the words of the page, both as JSON: packed as two lines, or plain where they
    are long. */
async function textsIn(unpacker) {
  const { type, textContent } = document.getElementById("cueleaf-guide");
  if (type === "application/json") return [textContent, document.getElementById("cueleaf-words").textContent];
  return new TextDecoder().decode(await unpacked(unpacker, bytesOf(textContent))).split("\n");
}

/** Gives the module that unpacks. */
async function unpackerOf(letters) {
  // What follows the end of a stream is an error.
  const deflated = new Blob([bytesOf(letters).subarray(0, UNPACKER_SIZE)]);
  const stream = deflated.stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}

async function start() {
  const unpacker = await unpackerOf(UNPACKER);
  // Two numbers of four bytes, the script, the style, the module.
  const files = await unpacked(unpacker, bytesOf(document.getElementById("cueleaf-packed").textContent));
  const number = (at) => new DataView(files.buffer).getUint32(at);
  const script = 8 + number(0);
  const style = script + number(4);
  const text = (from, to) => new TextDecoder().decode(files.slice(from, to));
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(text(script, style));
  document.adoptedStyleSheets = [sheet];
  window.cueleafParts = [files.slice(style), ...(await textsIn(unpacker))];
  const element = document.createElement("script");
  element.textContent = text(8, script);
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
