// Takes what is packed out of an exported guide: a script, a style and the module, packed as one,
// since the three have much in common. The policy of the page names the script by its hash.

/* global UNPACKER, UNPACKER_SIZE -- the module of crates/unpacker, deflated, as letters, and how many
   bytes these hold: the build puts it here */

// Four digits of 108 hold 27 bits; see crates/pack/src/letters.rs.
function bytesOf(letters) {
  const bytes = [];
  let [held, count, bits, worth] = [0, 0, 0, 1];
  const take = (digit) => {
    bits += digit * worth;
    worth *= 108;
    if (worth < 108 ** 4) return;
    // With what is held they are 34 bits at most: too many to shift, and exact.
    held += bits * 2 ** count;
    for (count += 27; count > 7; count -= 8) {
      bytes.push(held % 256);
      held = Math.floor(held / 256);
    }
    [bits, worth] = [0, 1];
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
  return new Uint8Array(bytes);
}

/** How long the page may stand still at a stretch, in milliseconds, and how many bytes are unpacked
    between two looks at the time. */
const LONG = 5;
const SLICE = 128;

/** Lets what waits have its turn. A timer would wait four milliseconds more. */
const { port1, port2 } = new MessageChannel();
const pause = () =>
  new Promise((done) => {
    port1.onmessage = done;
    port2.postMessage(0);
  });

/** Gives bytes as they were before they were packed, with the sizes of functions that were left out. */
async function unpacked(unpacker, packed) {
  const { exports } = await WebAssembly.instantiate(unpacker);
  for (const byte of packed) exports.give(byte);
  await pause();
  const bytes = [];
  // Where the function began whose size is still to be written.
  let begun;
  let since = performance.now();
  for (let byte; (byte = exports.take()) >= 0; ) {
    if (byte > 255) {
      // Seven bits a byte, the lowest first; before the first function there is none.
      const digits = [];
      for (let size = bytes.length - begun; size > 0; size >>= 7) digits.push(size > 127 ? (size & 127) | 128 : size);
      bytes.splice(begun, 0, ...digits);
      begun = bytes.length;
      continue;
    }
    if (bytes.push(byte) % SLICE || performance.now() - since < LONG) continue;
    await pause();
    since = performance.now();
  }
  return new Uint8Array(bytes);
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
  port1.close();
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
